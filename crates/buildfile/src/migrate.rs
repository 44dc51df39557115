//! Bringing an older document up to date, one version at a time.
//!
//! A change of the document's form adds one [`Step`] to [`STEPS`] and raises
//! [`VERSION`](crate::VERSION); nothing else here changes. Links decode to the document of their
//! own version first and walk the same steps.

use serde_json::{Map, Value, json};

/// The fields of a document, without its `format` and `version`.
pub type Fields = Map<String, Value>;

/// From one version of the document to the next.
#[derive(Debug, Clone, Copy)]
pub struct Step {
    /// The version this step starts from; it ends at the next.
    pub from: u32,
    /// The change itself. Must leave alone what it does not understand: the check comes after.
    pub apply: fn(Fields) -> Fields,
}

/// Every step there is, oldest first.
///
/// Version 2 added fields a document may leave out (`balance`, `watts`, `steering`, `spring`,
/// `shock`, leaf springs, the drag link's length) and lets it leave out `panhard`. A document of
/// version 1 reads as it is: what it does not say is as unknown as it was.
///
/// Version 3 added fields a document may leave out too (`surroundings.things`, what a straightedge
/// reads on a tire, the inside of a wheel, `packing_mm`) and three parts (`arch_trim`,
/// `bump_stop`, `steering_stop`).
///
/// Version 4 tells a part by its form and what it works on (`bracket` that `moves` the
/// `panhard_axle`) instead of a form for each, keeps a part on the shelf as an offer with its name,
/// price and hours, keeps spacers and wheels there as parts, calls `bands` `targets` and their
/// `output` what they are `of`, and added fields a document may leave out (`driveline`, `hose`,
/// `springing`, `overhang`, `weights`, `belly`, `gears`).
pub const STEPS: &[Step] = &[
    Step { from: 1, apply: |fields| fields },
    Step { from: 2, apply: |fields| fields },
    Step { from: 3, apply: parts_by_form },
];

/// Version 3's parts, each with its form and the word for what it works on.
const FORMS: [(&str, &str, &str, &str); 8] = [
    ("panhard_axle_bracket", "bracket", "moves", "panhard_axle"),
    ("panhard_chassis_bracket", "bracket", "moves", "panhard_chassis"),
    ("arm_bracket", "bracket", "moves", "arm"),
    ("panhard_length", "length", "of", "panhard"),
    ("drag_link_length", "length", "of", "drag_link"),
    ("upper_link_length", "length", "of", "upper_link"),
    ("bump_stop", "length", "of", "bump_stop"),
    ("caster_bush", "turn", "by", "caster_bush"),
];

fn parts_by_form(mut fields: Fields) -> Fields {
    if let Some(Value::Array(mut bands)) = fields.remove("bands") {
        for band in bands.iter_mut().filter_map(Value::as_object_mut) {
            if let Some(output) = band.remove("output") {
                band.insert("of".into(), output);
            }
        }
        fields.insert("targets".into(), Value::Array(bands));
    }
    for end in ["front", "rear"] {
        let Some(axle) = fields.get_mut("truck").and_then(|truck| truck.get_mut(end)) else {
            continue;
        };
        for state in ["stock", "sitting", "planned", "shelf"] {
            if let Some(Value::Array(parts)) =
                axle.get_mut(state).and_then(|it| it.get_mut("parts"))
            {
                parts.iter_mut().for_each(part_by_form);
            }
        }
        if let Some(Value::Object(shelf)) = axle.get_mut("shelf") {
            shelf_of_offers(shelf);
        }
    }
    fields
}

fn part_by_form(part: &mut Value) {
    let Value::Object(tagged) = part else { return };
    for (tag, form, field, word) in FORMS {
        if let Some(mut body) = tagged.remove(tag) {
            if let Value::Object(body) = &mut body {
                body.insert(field.into(), word.into());
            }
            tagged.insert(form.into(), body);
            return;
        }
    }
}

/// Parts first, then all the spacers as one part's choices, then each wheel.
fn shelf_of_offers(shelf: &mut Fields) {
    let mut list = |name| match shelf.remove(name) {
        Some(Value::Array(items)) => items,
        _ => Vec::new(),
    };
    let (mut parts, spacers, wheels) = (list("parts"), list("spacers_mm"), list("wheels"));
    if let Some(first) = spacers.first() {
        let thick = |spacer: &Value| spacer.get("value").cloned().unwrap_or(spacer.clone());
        let choices: Vec<Value> = spacers.iter().map(thick).collect();
        parts.push(json!({ "step": { "of": "spacer", "step_mm": first, "choices_mm": choices } }));
    }
    parts.extend(wheels.iter().map(|wheel| json!({ "wheel": { "wheel": wheel } })));
    let offers: Vec<Value> = parts.into_iter().map(|part| json!({ "part": part })).collect();
    if !offers.is_empty() {
        shelf.insert("parts".into(), offers.into());
    }
}

/// Why a document cannot be brought up to date.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MigrateError {
    /// Written by a newer program.
    #[error(
        "the build has version {found}, this program knows up to {newest}; reload the page or update the program to open it"
    )]
    Future {
        /// Version in the document.
        found: u64,
        /// Newest version known here.
        newest: u32,
    },
    /// A version that never existed.
    #[error(
        "the build says version {found}, which never existed; set `version` to {newest} if you wrote the file by hand"
    )]
    Never {
        /// Version in the document.
        found: u64,
        /// Newest version known here.
        newest: u32,
    },
}

/// Walks the steps from `version` to `newest`.
///
/// # Errors
/// [`MigrateError::Future`] above `newest`; [`MigrateError::Never`] when no step starts there.
pub fn migrate(
    mut fields: Fields,
    version: u64,
    newest: u32,
    steps: &[Step],
) -> Result<Fields, MigrateError> {
    if version > u64::from(newest) {
        return Err(MigrateError::Future { found: version, newest });
    }
    let mut at = version;
    while at < u64::from(newest) {
        let step = steps
            .iter()
            .find(|step| u64::from(step.from) == at)
            .ok_or(MigrateError::Never { found: version, newest })?;
        fields = (step.apply)(fields);
        at += 1;
    }
    Ok(fields)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A made-up past: version 1 renamed `title` to `name`, version 2 gave `note` a default.
    const PAST: &[Step] = &[
        Step {
            from: 0,
            apply: |mut fields| {
                if let Some(title) = fields.remove("title") {
                    fields.insert("name".into(), title);
                }
                fields
            },
        },
        Step {
            from: 1,
            apply: |mut fields| {
                fields.entry("note").or_insert_with(|| json!("none"));
                fields
            },
        },
    ];

    fn fields(value: &Value) -> Fields {
        value.as_object().cloned().unwrap()
    }

    #[test]
    fn steps_are_walked_in_order_from_any_version() {
        let table = [
            (0, json!({"title": "a"}), json!({"name": "a", "note": "none"})),
            (1, json!({"name": "a"}), json!({"name": "a", "note": "none"})),
            (2, json!({"name": "a"}), json!({"name": "a"})),
        ];
        for (version, before, after) in table {
            assert_eq!(migrate(fields(&before), version, 2, PAST), Ok(fields(&after)), "{version}");
        }
    }

    #[test]
    fn a_future_or_unheard_of_version_says_so() {
        let future = migrate(Fields::new(), 3, 2, PAST);
        assert_eq!(future, Err(MigrateError::Future { found: 3, newest: 2 }));
        let never = migrate(Fields::new(), 0, 2, STEPS);
        assert_eq!(never, Err(MigrateError::Never { found: 0, newest: 2 }));
    }

    #[test]
    fn the_table_reaches_the_version_we_write() {
        let covered: Vec<u32> = STEPS.iter().map(|step| step.from).collect();
        assert_eq!(covered, (1..crate::VERSION).collect::<Vec<_>>());
    }
}
