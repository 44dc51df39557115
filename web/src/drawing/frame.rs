//! Where millimetres of the truck fall on the paper.

use super::View;
use fitment::axle::{Kind, SceneItem};
use fitment::truck::End;

/// A view's window onto the truck, scaled to the paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// The view.
    pub view: View,
    /// The axle.
    pub end: End,
    /// Left and top edge, mm of the view.
    pub low: [f64; 2],
    /// Paper per mm, px.
    pub scale: f64,
    /// Size of the paper, px.
    pub size: [f64; 2],
}

/// Room around the drawing for dimensions, px.
const MARGIN: [f64; 2] = [18.0, 40.0];

impl Frame {
    /// A frame that holds all the scenes, `width` px wide and at most `most` px tall.
    pub fn around(view: View, end: End, scenes: &[&[SceneItem]], width: f64, most: f64) -> Self {
        let items = scenes.iter().flat_map(|scene| scene.iter());
        // The instant center may lie far off; the paper need not reach it.
        let (low, span) = extent(view, end, items.filter(|item| item.kind != Kind::InstantCentre));
        let wide = (width - 2.0 * MARGIN[0]).max(50.0) / span[0];
        let tall = (most - 2.0 * MARGIN[1]).max(50.0) / span[1];
        let scale = wide.min(tall);
        let height = span[1] * scale + 2.0 * MARGIN[1];
        let left = low[0] - (width / scale - span[0]) / 2.0;
        Self { view, end, low: [left, low[1] - MARGIN[1] / scale], scale, size: [width, height] }
    }

    /// A frame of just this size, of which the items fill this share.
    pub fn filled<'a>(
        view: View,
        end: End,
        items: impl Iterator<Item = &'a SceneItem>,
        size: [f64; 2],
        share: f64,
    ) -> Self {
        let (low, span) = extent(view, end, items);
        let scale = (size[0] / span[0]).min(size[1] / span[1]) * share;
        let low = [0, 1].map(|axis| low[axis] - (size[axis] / scale - span[axis]) / 2.0);
        Self { view, end, low, scale, size }
    }

    /// A point of the truck on the paper, px.
    pub fn at(&self, point: [f64; 3]) -> [f64; 2] {
        let at = self.view.project(self.end, point);
        [0, 1].map(|axis| (at[axis] - self.low[axis]) * self.scale)
    }
}

/// Left and top edge and size of what the items take up in a view, mm.
fn extent<'a>(
    view: View,
    end: End,
    items: impl Iterator<Item = &'a SceneItem>,
) -> ([f64; 2], [f64; 2]) {
    let mut low = [f64::INFINITY; 2];
    let mut high = [f64::NEG_INFINITY; 2];
    for point in items.flat_map(|item| &item.points) {
        let at = view.project(end, *point);
        for axis in 0..2 {
            low[axis] = low[axis].min(at[axis]);
            high[axis] = high[axis].max(at[axis]);
        }
    }
    if !low.iter().chain(&high).all(|edge| edge.is_finite()) {
        (low, high) = ([-500.0; 2], [500.0; 2]);
    }
    (low, [0, 1].map(|axis| (high[axis] - low[axis]).max(1.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use fitment::axle::Form;

    #[test]
    fn everything_lands_on_the_paper() {
        let item = SceneItem {
            kind: Kind::Tire,
            side: None,
            form: Form::Hull,
            points: vec![[-400.0, -900.0, -400.0], [400.0, 900.0, 700.0]],
        };
        for view in View::ALL {
            for (width, most) in [(360.0, 300.0), (700.0, 500.0), (100.0, 2000.0)] {
                let frame =
                    Frame::around(view, End::Front, &[std::slice::from_ref(&item)], width, most);
                for point in &item.points {
                    let [x, y] = frame.at(*point);
                    assert!((0.0..=width).contains(&x), "{view:?} {x}");
                    assert!((0.0..=frame.size[1]).contains(&y), "{view:?} {y}");
                }
                assert!(frame.size[1] <= most + 1e-9, "{view:?}");
            }
        }
    }

    #[test]
    fn an_empty_scene_has_a_frame_too() {
        let frame = Frame::around(View::Side, End::Rear, &[], 300.0, 300.0);
        assert!(frame.scale > 0.0 && frame.scale.is_finite());
    }
}
