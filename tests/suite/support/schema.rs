//! `docs/result.schema.json` as the measure of what the program writes: a JSON Schema of the few words that it uses.

use birdbath::report::result_file::ResultFile;
use serde_json::Value;
use std::sync::LazyLock;

static SCHEMA: LazyLock<Value> = LazyLock::new(|| {
    serde_json::from_str(include_str!("../../../docs/result.schema.json")).expect("JSON")
});

/// A result as it is written, after it was held against the published schema.
pub fn result(file: ResultFile) -> Value {
    let value = serde_json::to_value(file).expect("JSON");
    hold(&value, "ResultFile");
    value
}

/// Fails where a value is not what the published schema has under this name.
pub fn hold(value: &Value, name: &str) {
    if let Some(fault) = fault(value, name) {
        panic!("{fault}");
    }
}

/// Where a value is not what the published schema has under this name.
pub fn fault(value: &Value, name: &str) -> Option<String> {
    let schema = &SCHEMA["$defs"][name];
    assert!(schema.is_object(), "the schema has no {name}");
    check(value, schema, name).err()
}

fn is_of(value: &Value, kind: &str) -> bool {
    match kind {
        "null" => value.is_null(),
        "boolean" => value.is_boolean(),
        "number" => value.is_number(),
        "integer" => value.is_u64() || value.is_i64(),
        "string" => value.is_string(),
        "array" => value.is_array(),
        "object" => value.is_object(),
        other => panic!("the schema's type {other} is not known here"),
    }
}

/// The words of the schema that are looked at; another one would go by unseen.
const KNOWN: [&str; 18] = [
    "$ref",
    "title",
    "description",
    "type",
    "properties",
    "required",
    "additionalProperties",
    "items",
    "prefixItems",
    "minItems",
    "maxItems",
    "anyOf",
    "oneOf",
    "enum",
    "const",
    "format",
    "minimum",
    "maximum",
];

fn check(value: &Value, schema: &Value, at: &str) -> Result<(), String> {
    let Some(words) = schema.as_object() else {
        return match schema {
            Value::Bool(true) => Ok(()),
            _ => Err(format!("{at}: nothing may stand here")),
        };
    };
    for word in words.keys() {
        assert!(
            KNOWN.contains(&word.as_str()),
            "{at}: {word} is not looked at"
        );
    }
    if let Some(way) = words.get("$ref") {
        let name = way
            .as_str()
            .and_then(|w| w.strip_prefix("#/$defs/"))
            .expect("a definition");
        return check(value, &SCHEMA["$defs"][name], at);
    }
    for choice in ["anyOf", "oneOf"] {
        let Some(ways) = words.get(choice).and_then(Value::as_array) else {
            continue;
        };
        let faults: Vec<String> = ways
            .iter()
            .filter_map(|w| check(value, w, at).err())
            .collect();
        let fit = ways.len() - faults.len();
        if fit == 0 || (choice == "oneOf" && fit > 1) {
            return Err(format!(
                "{at}: {fit} of {choice} fit: {}",
                faults.join("; ")
            ));
        }
    }
    let kinds: Vec<&str> = match words.get("type") {
        Some(Value::String(one)) => vec![one],
        Some(Value::Array(some)) => some.iter().filter_map(Value::as_str).collect(),
        _ => vec![],
    };
    if !kinds.is_empty() && !kinds.iter().any(|k| is_of(value, k)) {
        return Err(format!("{at}: {value} is no {}", kinds.join(" or ")));
    }
    if let Some(Value::Array(list)) = words.get("enum")
        && !list.contains(value)
    {
        return Err(format!("{at}: {value} is none of {list:?}"));
    }
    if let Some(one) = words.get("const")
        && one != value
    {
        return Err(format!("{at}: {value} is not {one}"));
    }
    if let Some(least) = words.get("minimum").and_then(Value::as_f64)
        && value.as_f64().is_some_and(|v| v < least)
    {
        return Err(format!("{at}: {value} is under {least}"));
    }
    if let Some(object) = value.as_object() {
        let known = words.get("properties").and_then(Value::as_object);
        for (key, inner) in object {
            match known.and_then(|k| k.get(key)) {
                Some(s) => check(inner, s, &format!("{at}.{key}"))?,
                None if words.get("additionalProperties") == Some(&Value::Bool(false)) => {
                    return Err(format!("{at}.{key} is not in the schema"));
                }
                None => {}
            }
        }
        for key in words
            .get("required")
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
        {
            let key = key.as_str().expect("a key");
            if !object.contains_key(key) {
                return Err(format!("{at}.{key} is not there"));
            }
        }
    }
    if let (Some(list), Some(item)) = (value.as_array(), words.get("items")) {
        for (i, inner) in list.iter().enumerate() {
            check(inner, item, &format!("{at}[{i}]"))?;
        }
    }
    Ok(())
}
