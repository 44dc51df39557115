//! Reads a JSON value into a part of the document and says where it was when something did not fit.

use crate::node::{About, Fields, How, Node, Touch, Word};
use fitment::calibrate::Kind;
use fitment::measure::{Instrument, Known, Origin};
use serde::de::{self, Expected, Unexpected};
use serde_json::{Map, Value};
use std::fmt;

/// What did not fit, and the dotted path to it (`.` for the document itself).
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Misfit {
    pub path: String,
    pub what: String,
}

/// Reads `value` into `node`, which is blank.
pub(crate) fn read(node: &mut dyn Node, value: &Value) -> Result<(), Misfit> {
    Here { value, at: &Place::Root }.read(node)
}

/// What did not fit, in serde's words.
#[derive(Debug)]
struct Fault(String);

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Fault {}

impl de::Error for Fault {
    fn custom<T: fmt::Display>(what: T) -> Self {
        Self(what.to_string())
    }
}

/// A place in the document, linked to the one around it.
enum Place<'a> {
    Root,
    Key(&'a Self, &'a str),
    Index(&'a Self, usize),
}

impl Place<'_> {
    fn path(&self) -> String {
        match self {
            Self::Root => ".".into(),
            Self::Key(Self::Root, key) => (*key).into(),
            Self::Key(around, key) => format!("{}.{key}", around.path()),
            Self::Index(around, index) => format!("{}[{index}]", around.path()),
        }
    }
}

/// A value and where it is.
#[derive(Clone, Copy)]
struct Here<'a> {
    value: &'a Value,
    at: &'a Place<'a>,
}

impl<'a> Here<'a> {
    fn read(self, node: &mut dyn Node) -> Result<(), Misfit> {
        match node.touch() {
            Touch::Known(known) => *known = self.known()?,
            Touch::MayKnown(known) => {
                *known = if self.value.is_null() { None } else { Some(self.known()?) };
            }
            Touch::Text(text) => self.text()?.clone_into(text),
            Touch::Float(number) => *number = self.float()?,
            Touch::Whole(number) => *number = self.whole()?,
            Touch::Pair(pair) => self.pair(pair)?,
            Touch::Word(word) => self.word(word)?,
            Touch::Kind(kind) => {
                let key = self.text()?;
                *kind = Kind::of_key(key).ok_or_else(|| self.misfit(Kind::unknown(key)))?;
            }
            Touch::Fields(fields) => self.fields(fields)?,
            Touch::Tagged(tagged) => {
                let (tag, body) = self.choice()?;
                let at = self.one_of(tagged.tags(), tag)?;
                let value = body.ok_or_else(|| self.misfit(NEEDS_MORE.to_owned()))?;
                tagged.choose(at);
                Here { value, at: &Place::Key(self.at, tag) }.fields(tagged)?;
            }
            Touch::May(inner) => {
                if self.value.is_null() {
                    inner.clear();
                } else {
                    self.read(inner.fill())?;
                }
            }
            Touch::List(list) => {
                let items = self.items(&"a sequence")?;
                list.clear();
                for (index, value) in items.iter().enumerate() {
                    Here { value, at: &Place::Index(self.at, index) }.read(list.add())?;
                }
            }
        }
        Ok(())
    }

    fn fields(self, fields: &mut dyn Fields) -> Result<(), Misfit> {
        let about = fields.about();
        self.each(about, &mut |at, here| match fields.field_mut(at) {
            Some(field) => here.read(field),
            None => Ok(()),
        })
    }

    /// Hands over every field of an object, and looks that none is unknown or missing.
    fn each(
        self,
        about: &About,
        read: &mut dyn FnMut(usize, Here<'_>) -> Result<(), Misfit>,
    ) -> Result<(), Misfit> {
        let object = self.object(&about.what)?;
        for (key, value) in object {
            let place = Place::Key(self.at, key);
            let here = Here { value, at: &place };
            let Some(at) = about.names.iter().position(|name| name == key) else {
                let Fault(what) = de::Error::unknown_field(key, about.names);
                return Err(here.misfit(what));
            };
            read(at, here)?;
        }
        for (name, how) in about.names.iter().zip(about.how) {
            if *how == How::Must && !object.contains_key(*name) {
                let Fault(what) = de::Error::missing_field(name);
                return Err(self.misfit(what));
            }
        }
        Ok(())
    }

    /// A number, bare or with its uncertainty and origin.
    fn known(self) -> Result<Known, Misfit> {
        match self.value {
            Value::Number(_) => Ok(Known::exact(self.float()?)),
            Value::Object(_) => {
                let mut known = Known::exact(0.0);
                let mut sigma = None;
                self.each(&KNOWN, &mut |at, here| {
                    match at {
                        0 => known.value = here.float()?,
                        1 if here.value.is_null() => sigma = None,
                        1 => sigma = Some(here.float()?),
                        2 => known.origin = here.origin()?,
                        _ if here.value.is_null() => known.entered = None,
                        _ => known.entered = Some(here.text()?.to_owned()),
                    }
                    Ok(())
                })?;
                let typical = match known.origin {
                    Origin::Measured(with) => with.typical_sigma(),
                    Origin::Assumed | Origin::Published => 0.0,
                };
                known.sigma = sigma.unwrap_or(typical);
                Ok(known)
            }
            _ => Err(self.wrong(&"a number, or an object with `value` and `origin`")),
        }
    }

    fn origin(self) -> Result<Origin, Misfit> {
        let (name, body) = self.choice()?;
        match (self.one_of(&["assumed", "measured", "published"], name)?, body) {
            (0, None) => Ok(Origin::Assumed),
            (1, Some(value)) => {
                let mut with = Instrument::Tape;
                Here { value, at: &Place::Key(self.at, name) }.word(&mut with)?;
                Ok(Origin::Measured(with))
            }
            (1, None) => Err(self.misfit(NEEDS_MORE.to_owned())),
            (_, None) => Ok(Origin::Published),
            (_, Some(_)) => Err(self.misfit(NOTHING_MORE.to_owned())),
        }
    }

    fn word(self, word: &mut dyn Word) -> Result<(), Misfit> {
        let (name, body) = self.choice()?;
        let at = self.one_of(word.words(), name)?;
        if body.is_some() {
            return Err(self.misfit(NOTHING_MORE.to_owned()));
        }
        word.choose(at);
        Ok(())
    }

    /// A choice's name and what comes with it.
    fn choice(self) -> Result<(&'a str, Option<&'a Value>), Misfit> {
        match self.value {
            Value::String(name) => return Ok((name, None)),
            Value::Object(fields) if fields.len() == 1 => {
                if let Some((name, body)) = fields.iter().next() {
                    return Ok((name, Some(body)));
                }
            }
            _ => {}
        }
        Err(self.wrong(&"one of the choices"))
    }

    fn one_of(self, names: &'static [&'static str], name: &str) -> Result<usize, Misfit> {
        names.iter().position(|known| *known == name).ok_or_else(|| {
            let Fault(what) = de::Error::unknown_variant(name, names);
            self.misfit(what)
        })
    }

    fn text(self) -> Result<&'a str, Misfit> {
        self.value.as_str().ok_or_else(|| self.wrong(&"a string"))
    }

    fn float(self) -> Result<f64, Misfit> {
        self.value.as_f64().ok_or_else(|| self.wrong(&"f64"))
    }

    fn whole(self) -> Result<usize, Misfit> {
        if let Some(below) = self.value.as_i64().filter(|number| *number < 0) {
            let Fault(what) = de::Error::invalid_value(Unexpected::Signed(below), &"usize");
            return Err(self.misfit(what));
        }
        let number = self.value.as_u64().ok_or_else(|| self.wrong(&"usize"))?;
        usize::try_from(number).map_err(|_| {
            let Fault(what) = de::Error::invalid_value(Unexpected::Unsigned(number), &"usize");
            self.misfit(what)
        })
    }

    fn pair(self, pair: &mut [f64; 2]) -> Result<(), Misfit> {
        let items = self.items(&TWO)?;
        for (index, (number, value)) in pair.iter_mut().zip(items).enumerate() {
            *number = Here { value, at: &Place::Index(self.at, index) }.float()?;
        }
        if items.len() == pair.len() {
            return Ok(());
        }
        let expected = if items.len() < pair.len() { TWO } else { "fewer items" };
        let Fault(what) = de::Error::invalid_length(items.len(), &expected);
        Err(self.misfit(what))
    }

    fn items(self, expected: &dyn Expected) -> Result<&'a [Value], Misfit> {
        match self.value {
            Value::Array(items) => Ok(items),
            _ => Err(self.wrong(expected)),
        }
    }

    fn object(self, expected: &dyn Expected) -> Result<&'a Map<String, Value>, Misfit> {
        match self.value {
            Value::Object(fields) => Ok(fields),
            _ => Err(self.wrong(expected)),
        }
    }

    /// A value of the wrong kind.
    #[cold]
    fn wrong(self, expected: &dyn Expected) -> Misfit {
        let met = match self.value {
            Value::Null => Unexpected::Other("null"),
            Value::Bool(yes) => Unexpected::Bool(*yes),
            Value::Number(number) => match (number.as_u64(), number.as_i64(), number.as_f64()) {
                (Some(n), _, _) => Unexpected::Unsigned(n),
                (_, Some(n), _) => Unexpected::Signed(n),
                (_, _, Some(n)) => Unexpected::Float(n),
                _ => Unexpected::Other("a number out of range"),
            },
            Value::String(text) => Unexpected::Str(text),
            Value::Array(_) => Unexpected::Seq,
            Value::Object(_) => Unexpected::Map,
        };
        let Fault(what) = de::Error::invalid_type(met, expected);
        self.misfit(what)
    }

    #[cold]
    fn misfit(self, what: String) -> Misfit {
        Misfit { path: self.at.path(), what }
    }
}

const NEEDS_MORE: &str = "a choice that needs more";
const NOTHING_MORE: &str = "a choice that takes nothing more";
const TWO: &str = "an array of length 2";

/// A number written out in full.
const KNOWN: About = About {
    what: "struct Known",
    names: &["value", "sigma", "origin", "entered"],
    how: &[How::Must, How::May, How::Must, How::May],
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::Build;
    use crate::node::Document;
    use fitment::truck::{
        Corner, Driveline, End, Hose, LayoutKind, Member, Part, Shape, Step, Thing, ThingKind,
        ThingSide, Turning, View,
    };
    use serde::de::DeserializeOwned;
    use serde_json::json;

    /// Everything there is, as values.
    fn documents() -> Vec<Value> {
        let mut builds = vec![Build::example(), surrounded()];
        builds.extend(LayoutKind::ALL.map(Build::blank));
        builds
            .iter()
            .map(|build| {
                serde_json::from_str(&crate::json::to_json(build).expect("writes")).expect("reads")
            })
            .collect()
    }

    /// A build with a thing of every kind and shape, and what the example leaves out.
    fn surrounded() -> Build {
        let mut build = Build::blank(LayoutKind::ThreeLink);
        let one = || Some(Known::exact(25.0));
        build.truck.weights.front_axle_kg = one();
        build.truck.belly.above_ground_mm = one();
        build.truck.gears.top_gear = one();
        if let Some(front) = &mut build.truck.front {
            let mut things = ThingKind::ALL.map(|kind| Thing::new(kind, End::Front)).to_vec();
            let corner = || Corner { a_mm: Known::exact(1.0), b_mm: Known::exact(2.0) };
            things.push(Thing {
                name: "traced".into(),
                side: ThingSide::Right,
                shape: Shape::Outline {
                    view: View::Plan,
                    corners: vec![corner(), corner()],
                    from_mm: Known::exact(1.0),
                    to_mm: Known::exact(2.0),
                },
                ..Thing::new(ThingKind::Other, End::Front)
            });
            front.surroundings.things = things;
            front.driveline =
                Some(Driveline { slip_in_mm: one(), ..Driveline::typical(End::Front) });
            front.hose = Some(Hose::typical());
            front.springing.unsprung_kg = one();
            front.overhang.beyond_mm = one();
            let setup = &mut front.planned;
            let tire = &mut setup.tire;
            let measures = [
                &mut tire.tread_mm,
                &mut tire.crown_mm,
                &mut tire.shoulder_mm,
                &mut tire.shoulder_drop_mm,
                &mut setup.wheel.inside_mm,
                &mut setup.wheel.spoke_mm,
                &mut setup.packing_mm,
            ];
            for measure in measures {
                *measure = one();
            }
            let change_mm = Known::exact(20.0);
            setup.parts = vec![
                Part::ArchTrim { depth_mm: change_mm.clone() },
                Part::DoubleCardan {},
                Part::Wheel { wheel: setup.wheel.clone() },
                Part::Tire { tire: setup.tire.clone() },
                Part::step(Step::Pitman, 50.0, vec![50.0, 75.0]),
                Part::turn(Turning::KnuckleFlange, 3.0, vec![]),
                Part::Bend {
                    x_mm: Known::exact(0.0),
                    y_mm: Known::exact(-30.0),
                    z_mm: Known::exact(0.0),
                },
                Part::Length {
                    of: Member::BumpStop,
                    change_mm: change_mm.clone(),
                    range_mm: [0.0, 20.0],
                },
                Part::SteeringStop { lock_deg: change_mm, range_deg: [10.0, 30.0] },
            ];
        }
        build
    }

    fn read_document(value: &Value) -> Result<Document, Misfit> {
        let mut document = Document::blank();
        read(&mut document, value).map(|()| document)
    }

    /// Every place in a value, as a JSON pointer.
    fn places(value: &Value, at: &str, found: &mut Vec<String>) {
        found.push(at.to_owned());
        match value {
            Value::Object(fields) => {
                for (key, field) in fields {
                    places(field, &format!("{at}/{key}"), found);
                }
            }
            Value::Array(items) => {
                for (index, item) in items.iter().enumerate() {
                    places(item, &format!("{at}/{index}"), found);
                }
            }
            _ => {}
        }
    }

    /// The derived reader as a second opinion: the same truck, or the same words.
    fn agree<T: Node + DeserializeOwned + PartialEq + fmt::Debug>(mut ours: T, value: &Value) {
        let got = read(&mut ours, value);
        match serde_json::from_value::<T>(value.clone()) {
            Ok(want) => assert_eq!((got, ours), (Ok(()), want), "{value}"),
            Err(error) => {
                let what = got.expect_err("the derived reader refuses it").what;
                // What the other reader says less plainly.
                let known = what.contains(NEEDS_MORE)
                    || what.contains("struct variant")
                    || what.contains(NOTHING_MORE)
                    || what.contains("one of the choices")
                    || what.contains("null")
                    || what.contains("fewer items")
                    || what.contains("a number, or an object");
                assert!(known || what == error.to_string(), "{what} against {error}: {value}");
            }
        }
    }

    #[test]
    fn reads_and_refuses_as_the_derived_reader_does() {
        // No lists: the derived reader would take one for the fields of an object in turn.
        let odd = [
            Value::Null,
            json!(true),
            json!(-1),
            json!(1),
            json!(2.5),
            json!("text"),
            json!({}),
            json!({"text": 1}),
            json!({"value": 1, "origin": "assumed", "sigma": null, "entered": null}),
            json!({"value": 1, "origin": {"measured": "caliper"}}),
            json!({"value": 1, "origin": {"published": 1}}),
            json!({"value": 1, "origin": "measured"}),
            json!({"value": 1}),
        ];
        for document in documents() {
            let truck = document.get("truck").expect("a truck");
            agree(Document::blank().truck, truck);
            let mut found = Vec::new();
            places(truck, "", &mut found);
            for (turn, place) in found.iter().enumerate() {
                let mut spoiled = truck.clone();
                *spoiled.pointer_mut(place).expect("there") = odd[turn % odd.len()].clone();
                agree(Document::blank().truck, &spoiled);
                let mut emptied = truck.clone();
                if let Some(Value::Object(fields)) = emptied.pointer_mut(place) {
                    fields.clear();
                    agree(Document::blank().truck, &emptied);
                }
            }
        }
    }

    #[test]
    fn says_where_it_did_not_fit() {
        let good = documents().remove(0);
        let check = |pointer: &str, new: Value, path: &str, words: &str| {
            let mut value = good.clone();
            *value.pointer_mut(pointer).expect(pointer) = new;
            let misfit = read_document(&value).err().expect("must not fit");
            assert_eq!(misfit.path, path, "{}", misfit.what);
            assert!(misfit.what.contains(words), "{}", misfit.what);
        };
        let axle = "/truck/front/hub_face_width_mm";
        let path = "truck.front.hub_face_width_mm";
        check(axle, json!("one"), path, "invalid type: string \"one\", expected a number");
        check(axle, json!({"value": 1}), path, "missing field `origin`");
        check(
            axle,
            json!({"value": 1, "origin": {"measured": "eye"}}),
            &format!("{path}.origin.measured"),
            "unknown variant `eye`, expected one of `tape`, `angle_gauge`",
        );
        check("/truck/front/stock", json!({"x": 1}), "truck.front.stock.x", "unknown field `x`");
        check("/truck/front/layout", json!("four_link"), "truck.front.layout", NEEDS_MORE);
        check("/units", json!({"inch": 3}), "units", NOTHING_MORE);
        check("/units", json!("feet"), "units", "expected `metric` or `inch`");
        check(
            "/truck/front/planned/parts/0",
            json!({"length": {"of": "panhard", "change_mm": 1, "range_mm": [1]}}),
            "truck.front.planned.parts[0].length.range_mm",
            "invalid length 1, expected an array of length 2",
        );
        check("/truck", json!([]), "truck", "invalid type: sequence, expected struct Truck");
        assert_eq!(read_document(&json!([])).err().map(|m| m.path).as_deref(), Some("."));
    }
}
