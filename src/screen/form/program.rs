//! A program and what it is given, typed as one line: words with spaces between. A word with spaces
//! stands in quotation marks, double or single; nothing else means anything, backslashes least of all.

/// The words of a line.
///
/// # Errors
/// A quotation mark that nothing closes.
pub fn split(line: &str) -> Result<Vec<String>, String> {
    let mut words: Vec<String> = Vec::new();
    let mut word: Option<String> = None;
    let mut open: Option<char> = None;
    for c in line.chars() {
        match open {
            Some(mark) if c == mark => open = None,
            None if c == '"' || c == '\'' => {
                open = Some(c);
                word.get_or_insert_default();
            }
            None if c.is_whitespace() => words.extend(word.take()),
            _ => word.get_or_insert_default().push(c),
        }
    }
    if let Some(mark) = open {
        return Err(format!("Close the quotation mark: {mark}."));
    }
    words.extend(word);
    Ok(words)
}

/// Words as a line that [`split`] reads back.
pub fn join(words: impl IntoIterator<Item = String>) -> String {
    let quoted: Vec<String> = words.into_iter().map(|word| quoted(&word)).collect();
    quoted.join(" ")
}

fn quoted(word: &str) -> String {
    let is_plain = |c: char| !(c.is_whitespace() || c == '"' || c == '\'');
    if !word.is_empty() && word.chars().all(is_plain) {
        return word.to_owned();
    }
    if !word.contains('"') {
        return format!("\"{word}\"");
    }
    // A double mark inside single ones, a single one inside double ones, side by side.
    word.split('\'').map(|part| format!("'{part}'")).collect::<Vec<_>>().join("\"'\"")
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn words_are_what_stands_between_spaces_or_in_quotation_marks() {
        for (line, words) in [
            ("lamp --red", &["lamp", "--red"][..]),
            ("  \"/home/a cook/lamp\"  'two words' ", &["/home/a cook/lamp", "two words"]),
            (r"C:\Tools\lamp.exe", &[r"C:\Tools\lamp.exe"]),
            ("lamp \"\" $HOME;", &["lamp", "", "$HOME;"]),
            ("", &[]),
        ] {
            assert_eq!(split(line).expect(line), words, "{line}");
        }
        assert!(split("lamp \"red").is_err_and(|why| why.contains("Close")));
    }

    proptest! {
        #[test]
        fn any_words_are_read_back(words in prop::collection::vec("[ a-z\"'\\\\]{0,6}", 0..4)) {
            prop_assert_eq!(split(&join(words.clone())), Ok(words));
        }
    }
}
