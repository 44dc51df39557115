//! Findings: each output judged against its band, with how sure that is, why it matters, the
//! formula with its numbers, its source, a caution and the measurement that would help most.

mod bands;
mod formula;
mod judge;

pub use bands::{Aim, Band, Goal, Target, aim, band};
pub use formula::{formula, source as formula_source};
pub use judge::{Severity, Verdict, judge};

use crate::{
    axle::{Answer, Driver, Output, Unit},
    few::sort_few,
    measure::{System, format},
    source::Source,
    truck::{End, State},
};

/// One output judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Which axle.
    pub end: End,
    /// In which state.
    pub state: State,
    /// What was judged.
    pub output: Output,
    /// Best value, in the output's unit.
    pub value: f64,
    /// One standard deviation.
    pub sigma: f64,
    /// Change since stock, with its own standard deviation.
    pub change: Option<(f64, f64)>,
    /// The band it is judged by.
    pub band: Band,
    /// How it came out.
    pub verdict: Verdict,
    /// Formula with this truck's numbers in it.
    pub formula: String,
    /// Source of the formula.
    pub source: Source,
    /// What the person should be careful of.
    pub caution: Option<&'static str>,
    /// The input it leans on most.
    pub driver: Option<Driver>,
}

impl Finding {
    /// `8.2 ± 1.1 mm`: the value with one standard deviation, in the person's units.
    #[inline]
    pub fn value_text(&self, system: System) -> String {
        quantity(self.output, self.value, self.sigma, system)
    }

    /// What would settle or sharpen the finding, in words; `None` when nothing would.
    #[inline]
    pub fn helps(&self) -> Option<String> {
        let driver = self.driver.as_ref()?;
        let verb = match driver.origin {
            crate::measure::Origin::Assumed => "measure",
            crate::measure::Origin::Measured(_) => "measure again, more closely,",
            crate::measure::Origin::Published => "check on the truck",
        };
        Some(format!(
            "{verb} {}: it makes up {:.0} % of the uncertainty",
            input_words(&driver.path),
            driver.share * 100.0
        ))
    }
}

/// A value of an output with its standard deviation, in the person's units.
#[inline]
pub fn quantity(output: Output, value: f64, sigma: f64, system: System) -> String {
    match (output.unit(), in_system(output.unit(), system)) {
        (Unit::Mm, _) => format::length_with(value, sigma, system),
        (Unit::Deg, _) => format::degrees_with(value, sigma),
        (unit, (scale, symbol)) => format::with_uncertainty(value * scale, sigma * scale)
            .map_or_else(|| plain(output, value, system), |text| spaced(&text, unit, symbol)),
    }
}

/// A value of an output without its uncertainty, in the person's units.
#[inline]
pub fn plain(output: Output, value: f64, system: System) -> String {
    match (output.unit(), in_system(output.unit(), system)) {
        (Unit::Mm, _) => format::length(value, system),
        (Unit::Deg, _) => format::degrees(value, 1),
        (unit, (scale, symbol)) => {
            spaced(&format::number(value * scale, unit.decimals()), unit, symbol)
        }
    }
}

#[inline]
fn spaced(number: &str, unit: Unit, symbol: &str) -> String {
    let space = if matches!(unit, Unit::Ratio | Unit::DegPer25) { "" } else { " " };
    format!("{number}{space}{symbol}")
}

/// What a value is multiplied by in the person's units, and what they are called: for 25 mm of
/// travel inch people read the figure for an inch.
#[inline]
const fn in_system(unit: Unit, system: System) -> (f64, &'static str) {
    match (unit, system) {
        (Unit::DegPer25, System::Inch) => (25.4 / 25.0, "° per in"),
        (Unit::MmPer25, System::Inch) => (1.0 / 25.0, "in per in"),
        _ => (1.0, unit.symbol()),
    }
}

/// Every judged output of an axle in a state, worst first.
#[inline]
pub fn findings(
    end: End,
    state: State,
    stock: &Answer,
    now: &Answer,
    own: &[Target],
) -> Vec<Finding> {
    let mut found: Vec<Finding> = Output::ALL
        .into_iter()
        .filter_map(|output| {
            let band = band(output, end, stock, own)?;
            let spread = now.spread(output)?;
            let change = now.change(stock, output);
            // Bands around the stock figure judge the change, which is known better than the
            // figure itself.
            let judged = match band.source {
                Source::ThisTruckStock => change.as_ref().map_or(spread.sigma, |c| c.sigma),
                _ => spread.sigma,
            };
            Some(Finding {
                end,
                state,
                output,
                value: spread.value,
                sigma: spread.sigma,
                change: change.map(|c| (c.value, c.sigma)),
                verdict: judge(spread.value, judged, &band),
                band,
                formula: formula(output, now),
                source: formula::source(output),
                caution: bands::caution(output),
                driver: spread.driver,
            })
        })
        .collect();
    sort_few(&mut found, |a, b| b.verdict.severity.cmp(&a.verdict.severity));
    found
}

/// An input's path in a person's words: `panhard.axle.z_mm` → "Panhard axle end, height".
#[inline]
pub fn input_words(path: &str) -> String {
    let mut words: Vec<&str> = Vec::new();
    for part in path.split('.') {
        words.push(match part {
            "panhard" => "Panhard",
            "axle" => "axle end,",
            "chassis" => "chassis end,",
            "x_mm" => "distance forward",
            "y_mm" => "distance to the left",
            "z_mm" => "height",
            "layout" | "readings" | "truck" | "balance" => continue,
            "steering" => "steering,",
            "pitman" => "pitman arm,",
            "pivot" => "pivot,",
            "end" => "joint,",
            "drag_link" => "drag link,",
            "tie_rod" => "tie rod,",
            "ratio" => "steering ratio",
            "watts" => "Watts linkage,",
            "spring" => "spring",
            "shock" => "shock",
            "seat" => "seat,",
            "fixed_eye" => "fixed eye,",
            "shackle_eye" => "shackle eye,",
            "shackle_chassis" => "shackle bolt on the chassis,",
            "rates" => "leaf spring's",
            "eye_bush" => "eye bush,",
            "vertical_n_per_mm" => "rate",
            "lateral_n_per_mm" => "sideways rate",
            "twist_nm_per_deg" => "rate in twist",
            "clamped_mm" => "length under the U-bolts",
            "wheelbase_mm" => "wheelbase",
            "cg_height_mm" => "height of the center of gravity",
            "front_brake_percent" => "front share of the brakes",
            "front_drive_percent" => "front share of the drive",
            "diameter_mm" => "diameter",
            "drag_link_length_mm" => "length of the drag link",
            "wedge_deg" => "angle of the caster wedges",
            "knuckle_flange_deg" => "turn of the knuckles",
            "spring_height_mm" => "height of the springs",
            "pitman_drop_mm" => "drop of the pitman arm",
            "case_drop_mm" => "drop of the transfer case",
            "driveshaft_length_mm" => "length of the driveshaft",
            "hose_length_mm" => "length of the brake hose",
            "driveline" => "driveshaft,",
            "case" => "joint at the case,",
            "case_slope_deg" => "slope of the case's output",
            "case_plan_deg" => "case's output to the side",
            "slip_in_mm" => "slip left, inward",
            "slip_out_mm" => "slip left, outward",
            "hose" => "brake hose,",
            "frame_end" => "end on the frame,",
            "wheel_end" => "end at the wheel,",
            "bend" => "bend,",
            "hole" => "hole,",
            part if part.starts_with("parts") => "part's",
            "left" => "left,",
            "right" => "right,",
            "axle_far" => "far axle bush,",
            "axle_near" => "near axle bush,",
            "axle_bush" => "axle bush,",
            "chassis_bush" => "chassis bush,",
            "lower_left" => "lower link,",
            "lower_right" => "right lower link,",
            "upper" | "upper_left" => "upper link,",
            "upper_right" => "right upper link,",
            "radial_n_per_mm" => "radial rate",
            "axial_n_per_mm" => "axial rate",
            "conical_nm_per_deg" => "cocking rate",
            "torsion_nm_per_deg" => "twist rate",
            "hub_face_width_mm" => "distance between the wheel mounting faces",
            "sitting" => "as it sits,",
            "planned" => "planned",
            "lift_mm" => "lift",
            "lift_right_mm" => "lift on the right",
            "wheel" => "wheel",
            "offset_mm" => "offset",
            "spacer_mm" => "spacer thickness",
            "tire" => "tire",
            "loaded_radius_mm" => "wheel centre to ground",
            "stock" | "kingpin" => "stock",
            "caster_deg" => "caster",
            "inclination_deg" => "kingpin inclination",
            "hub_offset_mm" => "mounting face to steering axis",
            "hub_trail_mm" => "wheel centre behind the steering axis",
            "pinion" => "pinion",
            "angle_deg" => "angle",
            "length_mm" => "length",
            "panhard_rise_mm" => "height of the Panhard chassis end over its axle end",
            "panhard_length_mm" => "Panhard length",
            "arm_rise_mm" => "height of the arm's chassis end",
            "arm_length_mm" => "arm length",
            "caster_bush_deg" => "angle of the caster bushes",
            "upper_link_length_mm" => "length of the upper link",
            other => other,
        });
    }
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{axle::answer, truck::Truck};

    #[test]
    fn the_lifted_example_is_told_what_its_lift_did() {
        let truck = Truck::example();
        let front = truck.front.as_ref().unwrap();
        let stock =
            answer(&Truck::with_axle(front.clone(), End::Front), End::Front, State::Stock).unwrap();
        let now = answer(&Truck::with_axle(front.clone(), End::Front), End::Front, State::Sitting)
            .unwrap();
        let found = findings(End::Front, State::Sitting, &stock, &now, &[]);
        let caster = found.iter().find(|f| f.output == Output::Caster).unwrap();
        // 75 mm turns a 0.89 m arm by nearly 5°: the stock 3.5° is gone.
        assert_eq!(caster.verdict.severity, Severity::Stop, "{caster:?}");
        let panhard = found.iter().find(|f| f.output == Output::Panhard).unwrap();
        assert_eq!(panhard.verdict.severity, Severity::Out, "{panhard:?}");
        assert!(found.windows(2).all(|w| w[0].verdict.severity >= w[1].verdict.severity));
        let calm = findings(End::Front, State::Stock, &stock, &stock, &[]);
        assert!(calm.iter().all(|f| f.verdict.severity < Severity::Stop), "{calm:?}");
    }

    #[test]
    fn every_input_of_the_example_has_words() {
        let truck = Truck::example();
        for (axle, end) in [(&truck.front, End::Front), (&truck.rear, End::Rear)] {
            for state in State::ALL {
                let axle = axle.as_ref().unwrap();
                for input in
                    answer(&Truck::with_axle(axle.clone(), end), end, state).unwrap().inputs()
                {
                    let words = input_words(&input.path);
                    assert!(!words.contains('_') && !words.is_empty(), "{}: {words}", input.path);
                }
            }
        }
    }
}
