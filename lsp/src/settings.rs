//! Client settings. Everything has a default, and invalid values are ignored.

use std::time::Duration;

use jiff::civil::Date;
use serde::Deserialize;
use serde_json::Value;

/// Settings under `springline`, or the initialization options.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(default, rename_all = "camelCase")]
pub struct Settings {
    pub inlay_hints: InlayHints,
    pub code_lens: Switch,
    /// Errors of closed cases, when the practice file that they use changes.
    pub closed_files: Switch,
    /// Milliseconds after the last keystroke until findings on the cursor's line are published; 0
    /// publishes at once.
    pub typing_pause: Option<u32>,
    /// A day to take for today, for demonstrations; without it the machine's.
    pub today: Option<String>,
}

/// The figures shown between the words, each by its own switch.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(default, rename_all = "camelCase")]
pub struct InlayHints {
    /// When a step's wire is predicted to be passive.
    pub passive: Switch,
    /// The force on a displaced tooth.
    pub force: Switch,
    /// Space still missing for a bypassed tooth.
    pub space: Switch,
}

/// On unless said otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(from = "Option<bool>")]
pub struct Switch(pub bool);

impl Default for Switch {
    fn default() -> Self {
        Switch(true)
    }
}

impl From<Option<bool>> for Switch {
    fn from(value: Option<bool>) -> Self {
        Switch(value.unwrap_or(true))
    }
}

/// Default of that pause: longer than between two keystrokes of a word, shorter than a glance.
const PAUSE: Duration = Duration::from_millis(500);

impl Settings {
    /// The typing pause; `None` where everything is published at once.
    pub fn pause(&self) -> Option<Duration> {
        match self.typing_pause {
            None => Some(PAUSE),
            Some(0) => None,
            Some(ms) => Some(Duration::from_millis(u64::from(ms))),
        }
    }

    /// From whatever a client sends: its whole settings, ours alone, or nothing.
    pub fn read(value: Option<&Value>) -> Option<Settings> {
        let value = value?;
        let ours = value.get("springline").unwrap_or(value);
        if !ours.is_object() {
            return None;
        }
        serde_json::from_value(ours.clone()).ok()
    }

    /// The date of the check: from settings, from the environment, or the machine's.
    pub fn today(&self) -> Date {
        let said = self.today.clone().or_else(|| std::env::var("SPRINGLINE_TODAY").ok());
        said.and_then(|text| text.parse().ok()).unwrap_or_else(|| jiff::ZonedDateTime::now().date())
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn anything_a_client_sends_is_read_or_left_alone() {
        for nothing in [json!(null), json!([]), json!(7), json!({"springline": null})] {
            assert_eq!(Settings::read(Some(&nothing)), None, "{nothing}");
        }
        let off =
            json!({"springline": {"inlayHints": {"force": false, "space": null}, "other": 1}});
        let read = Settings::read(Some(&off)).unwrap();
        assert_eq!(read.inlay_hints.force, Switch(false));
        assert_eq!(read.inlay_hints.space, Switch(true));
        let odd = json!({"inlayHints": {"force": "yes"}});
        assert_eq!(Settings::read(Some(&odd)), None);
    }
}
