//! What a card compares, drawn to scale: outlines in mm over a common ground or hub face, and the
//! differences as dimensions. Whoever shows it only scales it.

/// A drawing to scale; x to the right, y up, mm.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawing {
    /// What it shows, in words.
    pub words: &'static str,
    /// What is drawn: the first is what it had.
    pub things: Vec<Thing>,
    /// A line all things share: the ground, or the hub's face.
    pub shared: [[f64; 2]; 2],
    /// What that line is.
    pub shared_words: &'static str,
    /// Differences.
    pub dims: Vec<Dimension>,
}

/// One of the things compared.
#[derive(Debug, Clone, PartialEq)]
pub struct Thing {
    /// What it is called.
    pub name: String,
    /// Its circles: middle and radius.
    pub circles: Vec<([f64; 2], f64)>,
    /// Its lines, each from point to point.
    pub lines: Vec<Vec<[f64; 2]>>,
}

/// A difference between two of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dimension {
    /// One end.
    pub from: [f64; 2],
    /// The other.
    pub to: [f64; 2],
    /// How much, with its sign, mm.
    pub value: f64,
}

impl Drawing {
    /// Least and largest x and y of all that is drawn, mm.
    pub fn bounds(&self) -> [[f64; 2]; 2] {
        let mut bounds = [[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]];
        let mut add = |[x, y]: [f64; 2]| {
            let [low, high] = &mut bounds;
            *low = [low[0].min(x), low[1].min(y)];
            *high = [high[0].max(x), high[1].max(y)];
        };
        for thing in &self.things {
            for ([x, y], r) in &thing.circles {
                add([x - r, y - r]);
                add([x + r, y + r]);
            }
            thing.lines.iter().flatten().copied().for_each(&mut add);
        }
        self.shared.into_iter().for_each(&mut add);
        bounds
    }
}
