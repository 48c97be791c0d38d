//! From the party to lists: what is put into what, what lies on paper. Pure:
//! the party and the plan come in as data, lists and pages go out.

pub mod servingware;
