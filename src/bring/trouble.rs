//! Why nothing could be brought in.

/// Why a file gives no recipe.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}. {}", self.what(), self.remedy())]
pub enum Trouble {
    /// Nothing in it.
    Empty,
    /// Neither a letter nor a figure in it.
    NoLetters,
    /// Larger than a page is: the most, in MB.
    TooLarge(u64),
    /// Pictures, archives, printed documents.
    NotText(&'static str),
    /// A page or a text without a recipe, and what was found instead.
    NoRecipe {
        /// What was found instead.
        seen: String,
    },
}

impl Trouble {
    /// What is wrong: "is empty", "is a PDF, not a page or a text".
    #[must_use]
    pub fn what(&self) -> String {
        match self {
            Self::Empty => "is empty".to_owned(),
            Self::NoLetters => "holds neither letters nor figures".to_owned(),
            Self::TooLarge(most) => format!("is larger than {most} MB"),
            Self::NotText(kind) => format!("is {kind}, not a page or a text"),
            Self::NoRecipe { seen } => format!("holds no recipe that could be found: {seen}"),
        }
    }

    /// What the cook can do.
    #[must_use]
    pub const fn remedy(&self) -> &'static str {
        match self {
            Self::Empty | Self::NoLetters => "Save the page or paste the text again",
            Self::TooLarge(_) => {
                "Save the page alone, without its pictures, or copy its text into a .txt file"
            }
            Self::NotText(_) => "Open it and copy the recipe's text into a .txt file",
            Self::NoRecipe { .. } => {
                "Copy the text into a .txt file, under the headings Ingredients and Method"
            }
        }
    }
}
