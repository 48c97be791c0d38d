//! The checked-in JSON Schemas are those of the types.
//!
//! `UPDATE_SCHEMA=1 cargo test --test files_schema` writes them anew.

use std::path::PathBuf;

use potwatch::store::read::schema::FileKind;

fn file(kind: FileKind) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("shared/schema")
        .join(format!("{}.schema.json", kind.word()))
}

#[test]
fn the_checked_in_schemas_are_those_of_the_types() {
    for kind in FileKind::ALL {
        let path = file(kind);
        if std::env::var_os("UPDATE_SCHEMA").is_some() {
            std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
            std::fs::write(&path, kind.schema_text()).expect("written");
        }
        let there = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(
            there == kind.schema_text(),
            "{} is out of date: UPDATE_SCHEMA=1 cargo test --test files_schema",
            path.display()
        );
    }
}

/// The walker knows only a part of JSON Schema: a keyword that it does not know
/// would go unjudged.
#[test]
fn the_schemas_use_only_what_the_reader_knows() {
    const KNOWN: [&str; 20] = [
        "$schema",
        "$defs",
        "$ref",
        "title",
        "description",
        "default",
        "type",
        "properties",
        "required",
        "additionalProperties",
        "const",
        "oneOf",
        "anyOf",
        "items",
        "minimum",
        "format",
        "pattern",
        "minLength",
        "maxLength",
        "examples",
    ];
    const FORMATS: [&str; 5] = ["uint32", "int32", "double", "date", "fraction"];
    fn walk(value: &serde_json::Value, names: bool) {
        match value {
            serde_json::Value::Object(map) => {
                for (key, inner) in map {
                    assert!(names || KNOWN.contains(&key.as_str()), "unknown keyword {key}");
                    if !names && key == "format" {
                        assert!(FORMATS.contains(&inner.as_str().expect("text")), "{inner}");
                    }
                    if !names && matches!(key.as_str(), "default" | "examples") {
                        continue;
                    }
                    walk(inner, !names && matches!(key.as_str(), "properties" | "$defs"));
                }
            }
            serde_json::Value::Array(list) => list.iter().for_each(|v| walk(v, false)),
            _ => {}
        }
    }
    for kind in FileKind::ALL {
        walk(kind.schema(), false);
        let patterns = kind.schema_text().matches("\"pattern\"").count();
        assert_eq!(patterns, usize::from(kind == FileKind::Party), "only times have a pattern");
    }
}
