//! Signed variables and statements about their bounds.

/// A variable or its negative: `x` and `-x` share all but the lowest bit, so
/// that one kind of bound (the lower one) serves for both.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Var(u32);

impl Var {
    /// The positive side of the variable with this number.
    #[must_use]
    pub const fn positive(base: u32) -> Self {
        Self(base << 1)
    }

    /// The variable that is always less than nothing by what this one is more.
    #[must_use]
    pub const fn neg(self) -> Self {
        Self(self.0 ^ 1)
    }

    /// Its place in lists over both sides.
    #[must_use]
    pub const fn index(self) -> usize {
        self.0 as usize
    }

    /// The number that both sides share.
    #[must_use]
    pub const fn base(self) -> usize {
        (self.0 >> 1) as usize
    }

    /// Is it the positive side?
    #[must_use]
    pub const fn is_positive(self) -> bool {
        self.0 & 1 == 0
    }

    /// "It is at least so much."
    #[must_use]
    pub const fn at_least(self, at: i32) -> Lit {
        Lit { var: self, at }
    }

    /// "It is at most so much."
    #[must_use]
    pub const fn at_most(self, at: i32) -> Lit {
        Lit { var: Self(self.0 ^ 1), at: -at }
    }
}

/// The statement that a signed variable is at least so much. A yes-or-no
/// variable is one from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Lit {
    /// Of this variable.
    pub var: Var,
    /// At least this.
    pub at: i32,
}

impl Lit {
    /// The opposite statement.
    #[must_use]
    pub const fn not(self) -> Self {
        Self { var: Var(self.var.0 ^ 1), at: 1 - self.at }
    }
}

/// A variable moved by a constant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Expr {
    /// The variable.
    pub var: Var,
    /// What is added to it.
    pub add: i32,
}

impl Expr {
    /// So much more.
    #[must_use]
    pub const fn plus(self, add: i32) -> Self {
        Self { var: self.var, add: self.add + add }
    }

    /// The negative.
    #[must_use]
    pub const fn neg(self) -> Self {
        Self { var: self.var.neg(), add: -self.add }
    }

    /// "It is at least so much."
    #[must_use]
    pub const fn at_least(self, at: i32) -> Lit {
        self.var.at_least(at - self.add)
    }

    /// "It is at most so much."
    #[must_use]
    pub const fn at_most(self, at: i32) -> Lit {
        self.var.at_most(at - self.add)
    }
}

impl From<Var> for Expr {
    fn from(var: Var) -> Self {
        Self { var, add: 0 }
    }
}
