//! A person describes the steering of a right-hand-drive truck and reads what the lift did to it.

use std::sync::Arc;

use anyhow::{Context, Result, ensure};

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tools};

/// Every linkage can be chosen; what is typed counts; the Lift page says what came of it.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("truck").await?;
    tab.open_group("Steering linkage").await?;
    tab.press("Right").await?;
    let pivot = "f-front.steering.pitman.pivot.y_mm";
    tab.until(
        "the box on the right",
        &format!("document.getElementById('{pivot}')?.value.startsWith('−370')"),
    )
    .await?;
    for link in ["To the near knuckle", "To the tie rod", "Fore and aft", "To the far knuckle"] {
        tab.press(link).await.context(link)?;
        tab.answered().await.context(link)?;
    }
    tab.fill("f-front.steering.ratio", "20").await?;
    axe::no_violations(&tab).await?;
    tab.picture("steering-input").await?;

    tab.turn_to("lift").await?;
    tab.press("Planned").await?;
    tab.click("#steering-title").await?;
    for words in ["Bump steer per 25 mm, left", "What turned the steering wheel", "Turning circle"]
    {
        tab.reads(words).await?;
    }
    tab.answered().await?;
    tab.picture("steering").await?;

    tab.turn_to("truck").await?;
    tab.open_group("Steering linkage").await?;
    tab.press("Leave it out").await?;
    tab.turn_to("lift").await?;
    let gone = "return !document.getElementById('steering-title')";
    ensure!(tab.script(gone).await? == true, "there is a steering section without a linkage");
    tab.quiet_console().await?;
    tab.close().await
}
