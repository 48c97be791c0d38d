//! Goes into the mutated copy of the tree as its module `gate`: which of the mutants is the live one, and what each
//! kind of them does.
//!
//! One build holds all mutants; `POTWATCH_MUTANT=N` makes the Nth live. `POTWATCH_MUTANTS_SEEN=FILE` has each test
//! write there which mutants it comes by.
#![allow(dead_code, clippy::all, missing_docs)]

use std::cell::RefCell;
use std::io::Write as _;
use std::ops::{Add, Div, Mul, Rem, Sub};
use std::sync::OnceLock;
use std::time::Instant;

/// The mutants that a thread came by, and since when; at its end it says how long that was.
struct Seen {
    thread: String,
    begun: Instant,
    ids: Vec<bool>,
}

thread_local! {
    static SEEN: RefCell<Seen> = RefCell::new(Seen {
        thread: std::thread::current().name().unwrap_or("?").to_owned(),
        begun: Instant::now(),
        ids: Vec::new(),
    });
}

impl Drop for Seen {
    fn drop(&mut self) {
        tell(&format!("ms {}", self.begun.elapsed().as_millis()), &self.thread);
    }
}

fn live() -> u32 {
    static LIVE: OnceLock<u32> = OnceLock::new();
    *LIVE.get_or_init(|| {
        std::env::var("POTWATCH_MUTANT").ok().and_then(|n| n.parse().ok()).unwrap_or(0)
    })
}

fn file() -> Option<&'static str> {
    static FILE: OnceLock<Option<String>> = OnceLock::new();
    FILE.get_or_init(|| std::env::var("POTWATCH_MUTANTS_SEEN").ok()).as_deref()
}

fn tell(what: &str, thread: &str) {
    let Some(path) = file() else { return };
    let line = format!("{what}\t{thread}\n");
    if let Ok(mut file) = std::fs::OpenOptions::new().append(true).create(true).open(path) {
        let _ = file.write_all(line.as_bytes());
    }
}

fn note(id: u32) {
    if file().is_none() {
        return;
    }
    let new = |seen: &RefCell<Seen>| {
        let (mut seen, at) = (seen.borrow_mut(), id as usize);
        if seen.ids.len() <= at {
            seen.ids.resize(at + 1024, false);
        }
        if !std::mem::replace(&mut seen.ids[at], true) {
            tell(&id.to_string(), &seen.thread);
        }
    };
    let _ = SEEN.try_with(new);
}

/// Whether this mutant is the live one.
#[inline]
pub fn on(id: u32) -> bool {
    let live = live();
    if live == 0 {
        note(id);
    }
    live == id
}

/// A comparison of two things of one type: `op` 0 `<`, 1 `<=`, 2 `>`, 3 `>=`. `id`: its edge moved; the next: turned.
pub fn order<T: PartialOrd + ?Sized>(id: u32, op: u8, a: &T, b: &T) -> bool {
    order_of(id, op, a, b)
}

/// As [`order`], for things of two types.
pub fn order_of<A: PartialOrd<B> + ?Sized, B: ?Sized>(id: u32, op: u8, a: &A, b: &B) -> bool {
    let op = if on(id) {
        op ^ 1
    } else if on(id + 1) {
        3 - op
    } else {
        op
    };
    match op {
        0 => a < b,
        1 => a <= b,
        2 => a > b,
        _ => a >= b,
    }
}

/// Equality of two things of one type, the other way round if `on`.
pub fn same<T: PartialEq + ?Sized>(id: u32, equal: bool, a: &T, b: &T) -> bool {
    ((a == b) == equal) != on(id)
}

/// As [`same`], for things of two types.
pub fn same_of<A: PartialEq<B> + ?Sized, B: ?Sized>(id: u32, equal: bool, a: &A, b: &B) -> bool {
    ((a == b) == equal) != on(id)
}

pub fn add<T: Add<Output = T> + Sub<Output = T>>(id: u32, a: T, b: T) -> T {
    if on(id) { a - b } else { a + b }
}

pub fn sub<T: Add<Output = T> + Sub<Output = T>>(id: u32, a: T, b: T) -> T {
    if on(id) { a + b } else { a - b }
}

pub fn mul<T: Mul<Output = T> + Div<Output = T>>(id: u32, a: T, b: T) -> T {
    if on(id) { a / b } else { a * b }
}

pub fn div<T: Mul<Output = T> + Div<Output = T>>(id: u32, a: T, b: T) -> T {
    if on(id) { a * b } else { a / b }
}

pub fn rem<T: Rem<Output = T> + Div<Output = T>>(id: u32, a: T, b: T) -> T {
    if on(id) { a / b } else { a % b }
}

pub fn add_to<T: Copy + Add<Output = T> + Sub<Output = T>>(id: u32, a: &mut T, b: T) {
    *a = add(id, *a, b);
}

pub fn sub_from<T: Copy + Add<Output = T> + Sub<Output = T>>(id: u32, a: &mut T, b: T) {
    *a = sub(id, *a, b);
}

pub fn least<T: PartialOrd>(id: u32, a: T, b: T) -> T {
    if (b < a) != on(id) { b } else { a }
}

pub fn most<T: PartialOrd>(id: u32, a: T, b: T) -> T {
    if (b > a) != on(id) { b } else { a }
}
