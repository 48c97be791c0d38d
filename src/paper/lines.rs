//! Lines of at most 80 columns.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

/// Columns of a line, at the most.
pub const COLUMNS: usize = 80;

/// Text that grows line by line.
#[derive(Debug, Default)]
pub struct Lines {
    /// What there is so far; every line ends with a line break.
    pub text: String,
}

impl Lines {
    /// Adds words, broken where they pass the last column; further lines are
    /// indented by `indent`.
    pub fn put(&mut self, indent: usize, words: &str) {
        self.fill(String::new(), indent, words);
    }

    /// Adds words after a lead that is kept as it is; further lines begin under the words.
    pub fn hang(&mut self, lead: &str, words: &str) {
        self.fill(lead.to_owned(), lead.width(), words);
    }

    fn fill(&mut self, mut line: String, indent: usize, words: &str) {
        let mut begun = false;
        for word in words.split_whitespace() {
            let gap = usize::from(begun);
            if begun && line.width() + gap + word.width() > COLUMNS {
                self.end(&line);
                line = " ".repeat(indent);
            } else if begun {
                line.push(' ');
            }
            begun = true;
            self.push(&mut line, indent, word);
        }
        self.end(&line);
    }

    /// Adds a word, in pieces if it alone is wider than a line.
    fn push(&mut self, line: &mut String, indent: usize, word: &str) {
        if line.width() + word.width() <= COLUMNS {
            return line.push_str(word);
        }
        for piece in word.graphemes(true) {
            if line.width() + piece.width() > COLUMNS {
                self.end(line);
                *line = " ".repeat(indent);
            }
            line.push_str(piece);
        }
    }

    fn end(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// Adds an empty line.
    pub fn gap(&mut self) {
        self.text.push('\n');
    }

    /// Adds a heading with a line under it, after an empty line.
    pub fn heading(&mut self, words: &str) {
        self.gap();
        self.put(0, words);
        self.end(&"=".repeat(words.width().min(COLUMNS)));
    }
}
