//! Browser journeys on the released page in `dist/`: each in a fresh profile, at phone and desktop
//! size, light and dark. Run by `cargo xtask test`, which builds the page first.

mod axe;
mod journeys;
mod look;
mod stage;

use std::process::ExitCode;
use std::sync::Arc;
use std::time::Instant;

use libtest_mimic::{Arguments, Failed, Trial};
use xtask::{house, tools};

use look::Look;
use stage::Tools;

fn main() -> ExitCode {
    let arguments = Arguments::from_args();
    let found = Tools::find();
    let (tools, missing) = match found {
        Ok(tools) => (Some(Arc::new(tools)), None),
        Err(why) => (None, Some(format!("{why:#}"))),
    };
    if let Some(why) = &missing {
        println!("skipped: browser journeys: {why}");
    }
    if let Err(why) = tools::axe_source() {
        println!("skipped: accessibility rules inside the journeys: {why:#}");
    }
    let trials = journeys::ALL.iter().flat_map(|journey| {
        let (tools, missing) = (tools.clone(), missing.clone());
        journey.looks.iter().map(move |look| {
            let (tools, missing) = (tools.clone(), missing.clone());
            let name = format!("{}::{look}", journey.name);
            let skipped = missing.is_some() && !house::in_ci();
            Trial::test(name, move || match (tools, missing) {
                (Some(tools), _) => play(journey, *look, &tools),
                (None, why) => Err(why.unwrap_or_default().into()),
            })
            .with_ignored_flag(skipped)
        })
    });
    libtest_mimic::run(&arguments, trials.collect()).exit_code()
}

/// One journey in its own browser; a failure shows the page as it was.
fn play(journey: &'static journeys::Journey, look: Look, tools: &Arc<Tools>) -> Result<(), Failed> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    let started = Instant::now();
    let ended = runtime.block_on((journey.play)(Arc::clone(tools), look));
    println!("    {}::{look}: {:.0} s", journey.name, started.elapsed().as_secs_f64());
    ended.map_err(|why| format!("{why:#}").into())
}
