//! The values that are no objects: numbers, texts, what may be absent, lists.

use super::{List, May, Node, See, Touch};
use fitment::calibrate::Kind;
use fitment::measure::Known;

/// A type that can stand there before it is read.
pub(super) trait Blank: Node + Sized {
    /// With nothing in it.
    fn blank() -> Self;
    /// How it is seen where it may be absent.
    fn see_maybe(maybe: Option<&Self>) -> See<'_> {
        See::May(maybe.map(|node| node as &dyn Node))
    }
    /// How it is touched where it may be absent.
    fn touch_maybe(maybe: &mut Option<Self>) -> Touch<'_> {
        Touch::May(maybe)
    }
}

impl Node for Known {
    fn see(&self) -> See<'_> {
        See::Known(self)
    }
    fn touch(&mut self) -> Touch<'_> {
        Touch::Known(self)
    }
}

impl Blank for Known {
    fn blank() -> Self {
        Self::exact(0.0)
    }
    fn see_maybe(maybe: Option<&Self>) -> See<'_> {
        See::MayKnown(maybe)
    }
    fn touch_maybe(maybe: &mut Option<Self>) -> Touch<'_> {
        Touch::MayKnown(maybe)
    }
}

impl Node for Kind {
    fn see(&self) -> See<'_> {
        See::Kind(*self)
    }
    fn touch(&mut self) -> Touch<'_> {
        Touch::Kind(self)
    }
}

impl Blank for Kind {
    fn blank() -> Self {
        Self::Frame
    }
}

/// A value that is a kind of its own.
macro_rules! plain {
    ($($kind:ty: $name:ident, $see:expr;)*) => {$(
        impl Node for $kind {
            fn see(&self) -> See<'_> {
                let see: for<'a> fn(&'a $kind) -> See<'a> = $see;
                see(self)
            }
            fn touch(&mut self) -> Touch<'_> {
                Touch::$name(self)
            }
        }

        impl Blank for $kind {
            fn blank() -> Self {
                Self::default()
            }
        }
    )*};
}

plain! {
    String: Text, |text| See::Text(text);
    f64: Float, |number| See::Float(*number);
    usize: Whole, |number| See::Whole(*number);
    [f64; 2]: Pair, |pair| See::Pair(*pair);
}

impl<T: Blank> Node for Option<T> {
    fn see(&self) -> See<'_> {
        T::see_maybe(self.as_ref())
    }
    fn touch(&mut self) -> Touch<'_> {
        T::touch_maybe(self)
    }
}

impl<T: Blank> Blank for Option<T> {
    fn blank() -> Self {
        None
    }
}

impl<T: Blank> May for Option<T> {
    fn get_mut(&mut self) -> Option<&mut dyn Node> {
        self.as_mut().map(|node| node as &mut dyn Node)
    }
    fn clear(&mut self) {
        *self = None;
    }
    fn fill(&mut self) -> &mut dyn Node {
        self.insert(T::blank())
    }
}

impl<T: Blank> Node for Vec<T> {
    fn see(&self) -> See<'_> {
        See::List(self)
    }
    fn touch(&mut self) -> Touch<'_> {
        Touch::List(self)
    }
}

impl<T: Blank> Blank for Vec<T> {
    fn blank() -> Self {
        Self::new()
    }
}

impl<T: Blank> List for Vec<T> {
    fn len(&self) -> usize {
        self.len()
    }
    fn item(&self, at: usize) -> Option<&dyn Node> {
        self.get(at).map(|node| node as &dyn Node)
    }
    fn item_mut(&mut self, at: usize) -> Option<&mut dyn Node> {
        self.get_mut(at).map(|node| node as &mut dyn Node)
    }
    fn clear(&mut self) {
        self.clear();
    }
    fn add(&mut self) -> &mut dyn Node {
        self.push_mut(T::blank())
    }
}
