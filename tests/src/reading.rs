//! Readability of a text, by two published formulas.

/// What a text measures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TextMeasures {
    pub sentences: usize,
    pub words: usize,
    pub syllables: usize,
}

/// Counts sentences, words and English or Spanish syllables.
pub fn measure(text: &str, syllables_of: fn(&str) -> usize) -> TextMeasures {
    let mut m = TextMeasures { sentences: 0, words: 0, syllables: 0 };
    for sentence in text.split(['.', '!', '?', ':', '\n']) {
        let words: Vec<&str> = sentence
            .split(|c: char| !(c.is_alphabetic() || c == '\'' || c == '\u{2019}'))
            .filter(|w| w.chars().any(char::is_alphabetic))
            .collect();
        if words.is_empty() {
            continue;
        }
        m.sentences += 1;
        m.words += words.len();
        m.syllables += words.iter().map(|w| syllables_of(w)).sum::<usize>();
    }
    m
}

/// Reading age in years for English: the Flesch-Kincaid grade plus five.
///
/// Source: Kincaid JP, Fishburne RP, Rogers RL, Chissom BS, Derivation of new readability formulas,
/// Naval Technical Training Command, Research Branch Report 8-75, 1975 (value from memory).
pub fn age_english(text: &str) -> f64 {
    let m = measure(text, syllables_english);
    if m.words == 0 {
        return 0.0;
    }
    let (s, w, y) = (m.sentences as f64, m.words as f64, m.syllables as f64);
    0.39 * w / s + 11.8 * y / w - 15.59 + 5.0
}

/// Ease of reading for Spanish: 80 and more is easy, as for a child of eleven or twelve.
///
/// Source: Fernandez Huerta J, Medidas sencillas de lecturabilidad, Consigna 1959;214:29-32 (value
/// from memory): 206.84 - 60 syllables a word - 1.02 words a sentence.
pub fn ease_spanish(text: &str) -> f64 {
    let m = measure(text, syllables_spanish);
    if m.words == 0 {
        return 0.0;
    }
    let (s, w, y) = (m.sentences as f64, m.words as f64, m.syllables as f64);
    206.84 - 60.0 * y / w - 1.02 * w / s
}

/// Groups of vowels, less a silent final e; at least one.
fn syllables_english(word: &str) -> usize {
    let word = word.to_lowercase();
    let vowel = |c: char| matches!(c, 'a' | 'e' | 'i' | 'o' | 'u' | 'y');
    let mut count = 0;
    let mut before = false;
    for c in word.chars() {
        let now = vowel(c);
        if now && !before {
            count += 1;
        }
        before = now;
    }
    let silent = word.ends_with('e') && !word.ends_with("le") && count > 1;
    (count - usize::from(silent)).max(1)
}

/// Vowels, where a weak one beside another makes no syllable of its own.
fn syllables_spanish(word: &str) -> usize {
    let strong = |c: char| matches!(c, 'a' | 'e' | 'o' | 'á' | 'é' | 'ó' | 'í' | 'ú');
    let weak = |c: char| matches!(c, 'i' | 'u' | 'ü' | 'y');
    let mut count = 0;
    let mut before: Option<bool> = None;
    for c in word.to_lowercase().chars() {
        let now = if strong(c) {
            Some(true)
        } else if weak(c) {
            Some(false)
        } else {
            None
        };
        match (before, now) {
            (None, Some(_)) | (Some(true), Some(true)) => count += 1,
            _ => {}
        }
        before = now;
    }
    count.max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn syllables_of_a_few_words() {
        for (word, n) in [("wire", 1), ("tooth", 1), ("orthodontic", 4), ("little", 2), ("a", 1)] {
            assert_eq!(syllables_english(word), n, "{word}");
        }
        for (word, n) in [("diente", 2), ("alambre", 3), ("boca", 2), ("día", 2), ("agua", 2)] {
            assert_eq!(syllables_spanish(word), n, "{word}");
        }
    }

    #[test]
    fn longer_sentences_ask_an_older_reader() {
        let easy = "The wire works for weeks. Eat soft food.";
        let hard = "Notwithstanding intermittent orthodontic discomfort, continued mastication of \
                    unprocessed carbohydrates necessitates postoperative supervision.";
        assert!(age_english(easy) < 9.0);
        assert!(age_english(hard) > 18.0);
        assert_eq!(age_english(""), 0.0);
    }
}
