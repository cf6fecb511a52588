//! The layer as a whole.

use super::testing::*;
use super::*;
use crate::model::tooth::Arch;

#[test]
fn a_plan_is_lived_through_to_its_end() {
    let case = case(vec![arch_case(Arch::Upper, usual_steps()), crowded_lower()]);
    let forecast = forecast(&case, None);
    println!("{:#?}", forecast.visits);
    for arch in &forecast.arches {
        for p in &arch.phases {
            println!(
                "{} {} {:?}..{:?} quarter {:?} strict {:?} thumb {} booked {} {:?} index {:.2} {:.2} {:.2} room {:?} never {:?}",
                arch.arch,
                p.name,
                p.date_in,
                p.end.date,
                p.passive.quarter.map(|t| t.median_days),
                p.passive.no_bend.map(|t| t.median_days),
                p.passive.rule_of_thumb_days,
                p.booked_days,
                p.end.reason,
                p.passive.index_in_mm,
                p.passive.index_passive_mm,
                p.passive.index_left_mm,
                p.room.demanded_mm,
                p.passive.never,
            );
        }
        assert_eq!(arch.phases.len(), 4);
    }
}
