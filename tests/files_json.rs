//! Reading JSON text: agrees with `serde_json` on what is JSON (RFC 8259) and
//! what it says, and has its own words for text that is not.

use potwatch::store::read::json::{DEEPEST, parse};
use proptest::prelude::*;
use serde_json::Value;

const BASE: &str = include_str!("files/base.json");

fn same(text: &str) {
    let theirs = serde_json::from_str::<Value>(text);
    let ours = parse(text);
    match (&theirs, &ours) {
        (Ok(theirs), Ok(ours)) => assert_eq!(ours.to_value(), *theirs, "{text}"),
        (Err(_), Err(_)) => {}
        _ => panic!("they: {theirs:?}, we: {ours:?}, of {text:?}"),
    }
}

/// RFC 8259: any value may stand alone (section 2), four signs are white space
/// (section 2), a number may have an exponent of either case and sign (section
/// 6), a string may have these escapes and a pair of surrogates (section 7).
#[test]
fn the_grammar_of_the_standard_is_read() {
    for text in [
        "\"pot\"",
        "7",
        "false",
        "null",
        "[ ]",
        " \t\n\r{\t\"a\"\n:\r[ 1 , 2 ]\t}\n",
        "[0, -0, 1e2, 1E+2, 1.25e-2, -3.5]",
        r#"["\" \\ \/ \b \f \n \r \t \u00E9 \ud83c\udf72"]"#,
    ] {
        assert!(parse(text).is_ok(), "{text}");
        same(text);
    }
}

#[test]
fn odd_texts_are_judged_as_by_the_library() {
    for text in [
        "",
        " ",
        "{}",
        "[]",
        "[[]]",
        "{\"a\":[]}",
        "[1,]",
        "[,1]",
        "{,}",
        "{\"a\"}",
        "{\"a\":}",
        "{\"a\" 1}",
        "{1:2}",
        "[1 2]",
        "[1}",
        "{\"a\":1]",
        "1 2",
        "null",
        "nul",
        "nulls",
        "-",
        "-0",
        "01",
        "1.",
        ".5",
        "+1",
        "1e5",
        "1E+5",
        "1e",
        "-1.5e-3",
        "1e999",
        "0x10",
        "18446744073709551615",
        "-9223372036854775808",
        "123456789012345678901234567890",
        "0.1",
        "\"\\u00e9\"",
        "\"\\ud83c\\udf72\"",
        "\"\\ud83c\"",
        "\"\\x\"",
        "\"\t\"",
        "\"a\nb\"",
        "\"\\\n\"",
        "\"unclosed",
        "\"\\",
        "'a'",
        "[1]]",
        "\u{a0}1",
        "//\n1",
        "{\"a\":1,\"a\":2}",
        "\"\u{1F372}\"",
        "[\"\\\"\",\"\\\\\"]",
        "truefalse",
        "true false",
        "é",
    ] {
        same(text);
    }
}

#[test]
fn a_byte_order_mark_is_passed_over() {
    assert_eq!(parse("\u{feff}{}").expect("read"), parse("{}").expect("read"));
}

#[test]
fn nesting_ends_before_the_stack_does() {
    let nested = |n: usize| format!("{}{}", "[".repeat(n), "]".repeat(n));
    assert!(parse(&nested(DEEPEST)).is_ok());
    let e = parse(&nested(DEEPEST + 1)).expect_err("too deep");
    assert_eq!(e.what, "more than 64 brackets inside one another");
    assert!(parse(&"[".repeat(1_000_000)).is_err());
    assert!(parse(&"{\"a\":".repeat(1_000_000)).is_err());
}

/// Every sentence about text that is not JSON, with its line and column.
#[test]
fn text_that_is_not_json_is_told_with_its_place() {
    let table: &[(&str, u32, u32, &str, &str)] = &[
        ("", 1, 1, "the file is empty", "Begin with {"),
        ("\n\n  ", 3, 3, "the file is empty", "Begin with {"),
        ("{} {}", 1, 4, "something follows the end", "One file holds one { … }"),
        ("{}\n}", 2, 1, "one closing bracket too many", "Take it out, or open it before"),
        (
            "{\"a\": }",
            1,
            7,
            "a value is missing before the bracket",
            "Add it, or take out the comma",
        ),
        ("[1,,2]", 1, 4, "a value is missing before the comma", "Add it, or take out the comma"),
        ("['a']", 1, 2, "text stands in single quotes", "Use \" instead of '"),
        ("{'a': 1}", 1, 2, "text stands in single quotes", "Use \" instead of '"),
        (
            "[1, // one\n2]",
            1,
            5,
            "JSON has no comments",
            "Take it out; recipes have \"notes\" for words",
        ),
        (
            "{# one\n}",
            1,
            2,
            "JSON has no comments",
            "Take it out; recipes have \"notes\" for words",
        ),
        ("[+5]", 1, 2, "a number cannot begin like this", "Write 5 for +5, and 0.5 for .5"),
        (
            "[%]",
            1,
            2,
            "expected a value, found %",
            "Write text in \"…\", a number, true, false, a list [ ] or an object { }",
        ),
        (
            "[\u{1}]",
            1,
            2,
            "expected a value, found the sign U+0001",
            "Write text in \"…\", a number, true, false, a list [ ] or an object { }",
        ),
        ("[True]", 1, 2, "True is not a value", "Write true or false in small letters"),
        ("{\"a\": None}", 1, 7, "None is not a value", "Leave the field out"),
        ("{\"a\": oven}", 1, 7, "the word oven stands without quotation marks", "Write \"oven\""),
        ("{\n  kind: 1}", 2, 3, "the word kind stands without quotation marks", "Write \"kind\""),
        (
            "{\n  \"é\": [1,\n 2",
            3,
            3,
            "the file ends inside what begins on line 2",
            "Add the missing ], or get the rest of the file",
        ),
        (
            "{\n\"a\": 1",
            2,
            7,
            "the file ends inside what begins on line 1",
            "Add the missing }, or get the rest of the file",
        ),
        (
            "{\"a\"",
            1,
            5,
            "the file ends inside what begins on line 1",
            "Add the missing }, or get the rest of the file",
        ),
        (
            "{\"a\":",
            1,
            6,
            "the file ends inside what begins on line 1",
            "Add the missing }, or get the rest of the file",
        ),
        (
            "{\"a\": 1,",
            1,
            9,
            "the file ends inside what begins on line 1",
            "Add the missing }, or get the rest of the file",
        ),
        (
            "[1,",
            1,
            4,
            "the file ends inside what begins on line 1",
            "Add the missing ], or get the rest of the file",
        ),
        ("{1: 2}", 1, 2, "the word 1 stands without quotation marks", "Write \"1\""),
        (
            "{[1]: 2}",
            1,
            2,
            "expected the name of a field, found [",
            "Write \"name\": value, with a comma between fields",
        ),
        ("{\"a\" 1}", 1, 6, "expected : after \"a\", found 1", "Write \"a\": value"),
        (
            "{\"a\": 1,\n}",
            1,
            8,
            "a comma stands before the closing }",
            "Take out the comma after the last entry",
        ),
        (
            "[1, 2, ]",
            1,
            6,
            "a comma stands before the closing ]",
            "Take out the comma after the last entry",
        ),
        (
            "{\"a\": [1}",
            1,
            9,
            "found }, but what begins on line 1 is closed by ]",
            "Write ] here, or add what is missing before",
        ),
        (
            "{\"a\": 1\n\"b\": 2}",
            2,
            1,
            "expected a comma or }, found \"",
            "Put a comma after each entry but the last",
        ),
        ("[1e999]", 1, 2, "1e999 is beyond all bounds", "Write a number of the kitchen"),
        ("[01]", 1, 2, "01 is not a number", "Write it like 12 or 0.5, without leading zeros"),
        (
            "{\"a\": \"b\n}",
            1,
            7,
            "the text that begins here is not closed on its line",
            "Add \" at its end; a line break in text is written \\n",
        ),
        (
            "[\"\\q\"]",
            1,
            2,
            "the text that begins here holds a sign that JSON does not allow",
            "Write a tab as \\t, a backslash as \\\\, a quotation mark as \\\"",
        ),
    ];
    for (text, line, column, what, remedy) in table {
        let e = parse(text).expect_err(text);
        assert_eq!(
            (e.line, e.column, e.what.as_str(), e.remedy.as_str()),
            (*line, *column, *what, *remedy),
            "{text:?}"
        );
    }
}

#[test]
fn every_value_knows_its_line_and_path() {
    let tree = parse(BASE).expect("read");
    for (path, key) in [
        ("dishes[0].recipe.steps[1].ways[0].minutes.likely", "\"likely\": 30"),
        ("kitchen.cookware[0].ovenproof", "\"ovenproof\""),
        ("services[1].at", "\"19:00\""),
        // What is not there is told at the nearest part that is.
        ("cooks[0].free[9].from", "\"free\""),
        ("kitchen.nothing", "\"kitchen\""),
    ] {
        let line = tree.at(path).line as usize;
        let text = BASE.lines().nth(line - 1).expect("a line");
        assert!(text.contains(key), "{path}: line {line} is {text}");
    }
}

/// Cut, changed and doubled pieces of a real file.
fn damaged() -> impl Strategy<Value = String> {
    let sign = prop::sample::select(vec![
        "{", "}", "[", "]", ",", ":", "\"", "\\", "\n", "0", "-", "e", ".", "null", " ", "é",
        "\u{0}", "'", "/",
    ]);
    let edit = (0..BASE.len(), 0usize..40, sign);
    prop::collection::vec(edit, 1..6).prop_map(|edits| {
        let mut text = BASE.to_owned();
        for (at, cut, sign) in edits {
            let floor = |mut i: usize| {
                i = i.min(text.len());
                while !text.is_char_boundary(i) {
                    i -= 1;
                }
                i
            };
            let (from, to) = (floor(at), floor(at + cut));
            text.replace_range(from..to, sign);
        }
        text
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn damaged_files_are_judged_as_by_the_library(text in damaged()) {
        same(&text);
    }

    #[test]
    fn any_text_is_judged_as_by_the_library(text in "[\\[\\]{}:,\"\\\\a-z0-9.eE+\\- \n'/]{0,40}") {
        same(&text);
    }

    #[test]
    fn a_place_is_always_inside_the_text(text in damaged()) {
        if let Err(e) = parse(&text) {
            let line = text.split('\n').nth(e.line as usize - 1);
            prop_assert!(line.is_some_and(|l| e.column as usize <= l.chars().count() + 1), "{e:?}");
        }
    }
}
