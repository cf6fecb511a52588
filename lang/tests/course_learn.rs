//! `learn` against two independent packages.
//!
//! The data are an invented practice of 60 wires (log-normal, mu 0.12, sigma 0.42), seen at visits.
//! References: scipy.optimize on the interval-censored likelihood, and lifelines
//! (fit_interval_censoring), which agree to 5e-5. Tolerances are those stated with them: 1e-3
//! relative on estimates, 1e-4 absolute on log-likelihoods, one percent on standard errors.

use springline_lang::course::learn::{
    Interval, LogNormal, Observation, Prior, fit_log_normal, fit_weibull, learn_from,
};

fn practice() -> Vec<Observation> {
    include_str!("data/learn.csv")
        .lines()
        .skip(1)
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            let number = |i: usize| cells[i].parse::<f64>().ok();
            Observation {
                case: cells[0].to_owned(),
                wire: cells[1].into(),
                predicted_days: number(2).unwrap(),
                active_at_days: number(3).unwrap(),
                passive_by_days: number(4),
            }
        })
        .collect()
}

fn close(name: &str, got: f64, want: f64, relative: f64) {
    assert!((got - want).abs() <= relative * want.abs(), "{name}: {got} for {want}");
}

fn same(got: LogNormal, mu: f64, sigma: f64, se_mu: f64, se_ln_sigma: f64, log_likelihood: f64) {
    close("mu", got.mu, mu, 1e-3);
    close("sigma", got.sigma, sigma, 1e-3);
    close("se mu", got.se_mu, se_mu, 1e-2);
    close("se ln sigma", got.se_ln_sigma, se_ln_sigma, 1e-2);
    assert!((got.log_likelihood - log_likelihood).abs() < 1e-4, "{got:?}");
}

#[test]
fn the_log_normal_is_that_of_the_packages() {
    let data: Vec<Interval> = practice().iter().map(Observation::ratio).collect();
    assert_eq!(data.len(), 60);
    let plain = fit_log_normal(&data, None).unwrap();
    same(plain, 0.194_554_71, 0.343_084_72, 0.054_345_05, 0.132_297_49, -47.233_770_34);
    let held = fit_log_normal(&data, Some(Prior::house())).unwrap();
    same(held, 0.186_428_54, 0.357_446_77, 0.055_293_08, 0.119_079_80, -47.287_805_34);
}

#[test]
fn the_weibull_is_that_of_the_packages() {
    let data: Vec<Interval> = practice().iter().map(Observation::ratio).collect();
    let fit = fit_weibull(&data).unwrap();
    close("lambda", fit.lambda, 1.437_153_09, 1e-3);
    close("rho", fit.rho, 3.279_665_37, 1e-3);
    close("se ln lambda", fit.se_ln_lambda, 0.050_870_82, 1e-2);
    close("se ln rho", fit.se_ln_rho, 0.140_026_14, 1e-2);
    assert!((fit.log_likelihood + 46.883_460_91).abs() < 1e-4);
}

/// Cases small enough to follow by hand, with the prior; by numerical optimisation (scipy).
#[test]
fn hand_cases() {
    let between = |low: f64, high: Option<f64>| Interval { low, high };
    let fit = |data: &[Interval]| fit_log_normal(data, Some(Prior::house())).unwrap();
    same(
        fit(&[between(0.0, Some(0.8))]),
        -0.186_781_39,
        0.411_938_34,
        0.261_103_25,
        0.251_954_92,
        -0.766_082_04,
    );
    same(
        fit(&[between(1.5, None)]),
        0.230_434_80,
        0.421_646_06,
        0.262_594_12,
        0.251_043_77,
        -1.081_666_73,
    );
    same(
        fit(&[between(0.5, Some(0.9)), between(0.8, Some(1.2)), between(1.0, Some(2.0))]),
        -0.020_293_30,
        0.378_042_34,
        0.186_624_97,
        0.235_167_22,
        -2.681_623_53,
    );
    same(
        fit(&[between(0.0, Some(1.0)); 5]),
        -0.361_378_89,
        0.374_453_04,
        0.201_472_41,
        0.247_768_69,
        -0.915_116_22,
    );
}

#[test]
fn data_that_determine_nothing_give_nothing_without_the_prior() {
    // All open on one side, or all in the same bracket: the likelihood has no top.
    for data in [
        vec![Interval { low: 0.0, high: Some(1.0) }; 8],
        vec![Interval { low: 1.0, high: None }; 8],
        vec![Interval { low: 0.9, high: Some(1.1) }; 8],
    ] {
        assert!(fit_log_normal(&data, None).is_none(), "{data:?}");
        assert!(fit_log_normal(&data, Some(Prior::house())).is_some(), "{data:?}");
    }
}

#[test]
fn one_visit_does_not_move_the_whole_book() {
    let few: Vec<Observation> = practice().into_iter().take(4).collect();
    assert!(learn_from(few, Vec::new()).house.is_err());
    let mut book = practice();
    let before = learn_from(book.clone(), Vec::new()).house.unwrap();
    book.push(Observation {
        case: "G061".to_owned(),
        wire: "niti-14".into(),
        predicted_days: 40.0,
        active_at_days: 200.0,
        passive_by_days: None,
    });
    let after = learn_from(book, Vec::new()).house.unwrap();
    assert!((after.with_prior.mu - before.with_prior.mu).abs() < 0.08);
    assert_eq!((before.cases, before.open_left, before.open_right), (60, 13, 7));
    assert!(before.factor_90.0 < 1.2 && 1.2 < before.factor_90.1 + 0.1);
}
