//! A person traces a thing's outline over a photograph with a tape in it.

use std::io::Write as _;
use std::sync::Arc;

use anyhow::{Context, Result, ensure};
use serde_json::json;
use thirtyfour::By;

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tab, Tools};

/// The photograph: a tape of a metre that is 400 points long, a hub, a bracket ahead of and above it.
/// The truck's front is on the left.
const PICTURE: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="800" height="600">
<rect width="800" height="600" fill="#b9b4a6"/>
<path d="M200 560h400" stroke="#e8c020" stroke-width="14"/>
<circle cx="400" cy="400" r="150" fill="#333"/><circle cx="400" cy="400" r="12" fill="#ccc"/>
<path d="M180 160h120v80h-120z" fill="#6b7a55"/></svg>"##;
/// The tape's marks, the hub, the bracket's corners.
const PLACES: [[f64; 2]; 7] = [
    [200.0, 560.0],
    [600.0, 560.0],
    [400.0, 400.0],
    [180.0, 160.0],
    [300.0, 160.0],
    [300.0, 240.0],
    [180.0, 240.0],
];

/// The corners come out where the tape says; one step takes them back; nothing is sent.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("truck").await?;
    tab.open_group("Around the tire").await?;
    let cards = "document.querySelectorAll('.thing-card')";
    let count = tab.script(&format!("return {cards}.length")).await?;
    let place = count.as_u64().context("no count came back")?;
    tab.press("+ Something else").await?;
    tab.until("the new one", &format!("{cards}.length === {}", place + 1)).await?;
    tab.script(&format!("{cards}[{place}].querySelector('details').open = true")).await?;
    tab.press("Outline").await?;
    let corner = |at: usize, axis: &str| {
        format!("f-front.surroundings.things[{place}].shape.corners[{at}].{axis}")
    };
    let before = tab.value(&corner(0, "a_mm")).await?;

    let mut file = tempfile::Builder::new().suffix(".svg").tempfile()?;
    file.write_all(PICTURE.as_bytes())?;
    let path = file.path().to_str().context("no name for the picture")?;
    let chooser = format!("photo-{place}");
    tab.driver().find(By::Id(&chooser)).await?.send_keys(path).await?;
    tab.until("the picture", "document.querySelector('.photo-paper img')?.naturalWidth === 800")
        .await?;
    for at in PLACES {
        point(&tab, at).await?;
    }
    tab.fill(&format!("apart-{place}"), "1000 mm").await?;
    tab.until(
        "every mark to be drawn",
        &format!("document.querySelectorAll('.photo-paper circle').length === {}", PLACES.len()),
    )
    .await?;
    tab.picture("photo").await?;
    axe::no_violations(&tab).await?;
    tab.no_sideways_scroll().await?;
    tab.press("Use these 4 corners").await?;

    // 2.5 mm a point: 220 ahead of the hub and 240 above it. A tap is told to a whole px of the page, which
    // on a phone is six millimeters here; the hub's and the tape's add to that.
    for (axis, want) in [("a_mm", 550.0), ("b_mm", 600.0)] {
        let text = tab.value(&corner(0, axis)).await?;
        let number: f64 =
            text.split_whitespace().next().unwrap_or_default().replace(',', "").parse()?;
        ensure!((number - want).abs() < 15.0, "{axis} reads {text}, want about {want} mm");
    }
    tab.answered().await?;
    tab.click("[aria-label='Undo']:not(:disabled)").await?;
    tab.until(
        "the corners before",
        &format!(
            "document.getElementById({})?.value === {}",
            json!(corner(0, "a_mm")),
            json!(before)
        ),
    )
    .await?;
    tab.no_third_party().await?;
    tab.quiet_console().await?;
    tab.close().await
}

/// Puts a finger on a point of the picture.
async fn point(tab: &Tab, [x, y]: [f64; 2]) -> Result<()> {
    let script = format!(
        "const image = document.querySelector('.photo-paper img'), box = image.getBoundingClientRect();\
         const scale = box.width / image.naturalWidth;\
         image.dispatchEvent(new MouseEvent('click', {{ bubbles: true,\
           clientX: box.left + {x} * scale, clientY: box.top + {y} * scale }}))"
    );
    let marks = "return document.querySelectorAll('.photo-paper circle').length";
    let before = tab.script(marks).await?.as_u64().unwrap_or_default();
    tab.script(&script).await?;
    let drawn = format!("document.querySelectorAll('.photo-paper circle').length > {before}");
    tab.until("the mark to be drawn", &drawn).await
}
