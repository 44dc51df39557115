//! How long a slider's move takes until the new drawing and numbers stand, at full speed and with
//! the processor slowed four times. Prints lines that `cargo xtask bench` puts beside the budgets;
//! no time is asserted here, only that the drawing really follows.

use std::sync::Arc;

use anyhow::{Context, Result, ensure};
use serde_json::json;

use crate::look::Look;
use crate::stage::{self, Tools};

/// Defines `timed(shown, move)`: makes sixty moves, one each frame. Each time counts from the move to
/// the moment the page has rendered and laid out what it shows; `still` counts the moves that
/// changed nothing of that element.
const TIMED: &str = "
const frame = () => new Promise((done) => requestAnimationFrame(done));
const settled = () => new Promise((done) => {
    const channel = new MessageChannel();
    channel.port1.onmessage = done;
    channel.port2.postMessage(0);
});
const timed = async (shown, move) => {
    const times = [];
    let still = 0;
    for (let i = 0; i < 60; i += 1) {
        await frame();
        const before = shown().innerHTML;
        const from = performance.now();
        move(i);
        do await settled();
        while (shown().innerHTML === before && performance.now() - from < 2000);
        shown().getBoundingClientRect();
        times.push(performance.now() - from);
        if (shown().innerHTML === before) still += 1;
    }
    times.sort((a, b) => a - b);
    return { still, median: times[30], nearly_worst: times[56] };
};";

/// Moves the chassis slider.
const MOVES: &str = "
    const slider = document.querySelector('input[type=range]');
    const drawing = slider.closest('main').querySelector('svg[role=img], svg');
    const low = Number(slider.min), high = Number(slider.max);
    return timed(() => drawing, (i) => {
        slider.value = low + (high - low) * ((i * 37) % 100) / 100;
        slider.dispatchEvent(new InputEvent('input', { bubbles: true }));
    });";

/// A script of these moves, as one promise.
pub fn timing(moves: &str) -> String {
    format!("(async () => {{ {TIMED} {moves} }})()")
}

/// Measures on the Lift page of the example.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("lift").await?;
    tab.until("a slider", "document.querySelector('input[type=range]')").await?;
    for (slowdown, name) in [(1, "full speed"), (4, "4 times slowed")] {
        tab.driver()
            .cdp()
            .send_raw("Emulation.setCPUThrottlingRate", json!({ "rate": slowdown }))
            .await?;
        let found = tab.promise(&timing(MOVES)).await?;
        let still = found["still"].as_u64().context("no count came back")?;
        ensure!(still == 0, "the drawing stood still in {still} of 60 moves: {found}");
        let (median, worst) = (&found["median"], &found["nearly_worst"]);
        println!("measured: slider_redraw/{name}: median {median} ms, 95th percentile {worst} ms");
    }
    tab.close().await
}
