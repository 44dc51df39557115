//! A person with a phone starts from nothing, types eight numbers, and asks what the lift did.

use std::sync::Arc;

use anyhow::{Result, ensure};

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tools};

/// As typed under the truck. The bar rises 165 mm over 864 mm: asin(165/864) is 11.0°.
const NUMBERS: [(&str, &str); 8] = [
    ("sitting.lift_mm", "4 in"),
    ("stock.tire.size", "235/85R16"),
    ("sitting.tire.size", "35x12.50R17"),
    ("sitting.wheel.offset_mm", "-12"),
    ("readings.panhard_length_mm", "864 mm"),
    ("readings.panhard_rise_mm", "165 mm"),
    ("readings.arm_length_mm", "36 in"),
    ("readings.arm_rise_mm", "8 1/2 in"),
];

/// Eight numbers in, an answer out, with what was assumed marked as assumed.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("truck").await?;
    tab.press("Start empty").await?;
    tab.press("Start").await?;
    for (at, (path, text)) in NUMBERS.iter().enumerate() {
        tab.reads(&format!("Number {} of 8", at + 1)).await?;
        tab.fill(&format!("g-front.{path}"), text).await?;
        ensure!(
            tab.script("return !document.querySelector('.complaint')").await? == true,
            "the page complains about {text} for {path}:\n{}",
            tab.words().await?
        );
        if at == 3 {
            tab.picture("guide").await?;
            axe::no_violations(&tab).await?;
        }
        if at + 1 < NUMBERS.len() {
            tab.press("Next").await?;
        }
    }
    tab.press("What the lift did").await?;
    tab.until("the answers", "document.querySelector('main#page.at-lift table')").await?;
    let words = tab.words().await?;
    ensure!(words.contains("11.0°"), "the Panhard angle typed is not the one shown:\n{words}");
    ensure!(!words.contains("NaN"), "{words}");
    tab.picture("eight-numbers").await?;
    tab.turn_to("truck").await?;
    tab.reads("assumed").await?;
    tab.quiet_console().await?;
    tab.close().await
}
