//! A server, a driver and a browser for one journey, and the few things a journey does with them.

use std::io::{BufRead, BufReader, Read, Write};
use std::mem::ManuallyDrop;
use std::net::{Ipv4Addr, SocketAddr, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail, ensure};
use serde_json::{Value, json};
use tempfile::TempDir;
use thirtyfour::ChromiumLikeCapabilities;
use thirtyfour::common::log::LoggingPrefsLogLevel;
use thirtyfour::prelude::*;
use xtask::server::StaticServer;
use xtask::{house, tools};

use crate::look::Look;

/// How long anything on the page may take on a slow machine.
const PATIENCE: Duration = Duration::from_secs(40);

/// What every journey needs to be there.
pub struct Tools {
    browser: tools::Browser,
}

impl Tools {
    /// The browser, its driver and a built page.
    pub fn find() -> Result<Self> {
        let dist = house::dist();
        ensure!(dist.join("sw.js").is_file(), "there is no page in dist/: run `cargo xtask build`");
        Ok(Self { browser: tools::browser()? })
    }
}

/// A profile on disk: what a person's browser remembers between two starts.
pub struct Profile(TempDir);

impl Profile {
    /// One that has never been anywhere.
    pub fn fresh() -> Result<Self> {
        Ok(Self(tempfile::Builder::new().prefix("tapewright-profile").tempdir()?))
    }
}

/// Serves the released page until dropped.
pub fn serve(dir: &Path) -> Result<StaticServer> {
    StaticServer::start(dir, SocketAddr::from((Ipv4Addr::LOCALHOST, 0)))
}

/// The page's address on that server.
pub fn address(server: &StaticServer) -> String {
    format!("http://localhost:{}/", server.address().port())
}

/// What stands once a person is there; the server and the profile last as long as they are kept.
pub type Visit = (StaticServer, Profile, Tab);

/// A browser that has never been anywhere, on the released page.
pub async fn first_visit(tools: &Tools, look: Look) -> Result<Visit> {
    let server = serve(&house::dist())?;
    let profile = Profile::fresh()?;
    let tab = Tab::open(tools, &profile, look).await?;
    tab.visit(&address(&server)).await?;
    Ok((server, profile, tab))
}

/// A browser showing one tab.
pub struct Tab {
    /// Never dropped: its drop waits for an answer on the runtime that is just unwinding. Ending
    /// the driver process ends the session and the browser.
    driver: ManuallyDrop<WebDriver>,
    look: Look,
    _process: DriverProcess,
}

impl Tab {
    /// Starts a browser on a profile.
    pub async fn open(tools: &Tools, profile: &Profile, look: Look) -> Result<Self> {
        let process = DriverProcess::start(&tools.browser.driver)?;
        let mut wanted = DesiredCapabilities::chrome();
        wanted.set_binary(&tools.browser.program.to_string_lossy())?;
        let (width, height) = look.size();
        for flag in [
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--disable-dev-shm-usage",
            "--hide-scrollbars",
        ] {
            wanted.add_arg(flag)?;
        }
        wanted.add_arg(&format!("--window-size={width},{height}"))?;
        wanted.add_arg(&format!("--user-data-dir={}", profile.0.path().display()))?;
        wanted.set_logging_prefs("browser", LoggingPrefsLogLevel::All)?;
        if look.phone {
            let metrics =
                json!({ "width": width, "height": height, "pixelRatio": 3.0, "touch": true });
            wanted
                .add_experimental_option("mobileEmulation", json!({ "deviceMetrics": metrics }))?;
        }
        let driver =
            WebDriver::new(&process.address, wanted).await.context("no browser session")?;
        let scheme = if look.dark { "dark" } else { "light" };
        let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
        driver
            .cdp()
            .send_raw("Emulation.setEmulatedMedia", json!({ "features": features }))
            .await?;
        Ok(Self { driver: ManuallyDrop::new(driver), look, _process: process })
    }

    /// Goes to an address and waits until the app stands where the first paint was.
    pub async fn visit(&self, address: &str) -> Result<()> {
        self.driver.goto(address).await?;
        self.mounted().await
    }

    /// Reloads and waits for the app.
    pub async fn reload(&self) -> Result<()> {
        self.driver.refresh().await?;
        self.mounted().await
    }

    async fn mounted(&self) -> Result<()> {
        self.until(
            "the app to mount",
            "!document.getElementById('first-paint') && document.querySelector('h1')",
        )
        .await
    }

    /// The value of a script's `return`.
    pub async fn script(&self, script: &str) -> Result<Value> {
        let answer = self.driver.execute(script, vec![]).await;
        Ok(answer.with_context(|| format!("in the page: {script}"))?.json().clone())
    }

    /// The value a promise settles to; a rejection is an error.
    pub async fn promise(&self, expression: &str) -> Result<Value> {
        let script = format!(
            "const done = arguments[arguments.length - 1];\
             Promise.resolve({expression}).then((v) => done({{ ok: v }}), (e) => done({{ no: String(e) }}));"
        );
        let answer = self.driver.execute_async(&script, vec![]).await?.json().clone();
        match (answer.get("ok"), answer.get("no")) {
            (_, Some(why)) => bail!("{expression}: {why}"),
            (ok, None) => Ok(ok.cloned().unwrap_or(Value::Null)),
        }
    }

    /// Waits until an expression is true in the page.
    pub async fn until(&self, what: &str, expression: &str) -> Result<()> {
        let started = Instant::now();
        loop {
            // A page that is just being replaced answers with an error: ask again.
            let answer = self.script(&format!("return Boolean({expression})")).await;
            if matches!(answer, Ok(Value::Bool(true))) {
                return Ok(());
            }
            if started.elapsed() > PATIENCE {
                self.picture("failed").await.ok();
                bail!(
                    "waited {} s for {what}; the page shows:\n{}",
                    PATIENCE.as_secs(),
                    self.words().await?
                );
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    }

    /// Waits until the service worker is in charge of this page.
    pub async fn offline_ready(&self) -> Result<()> {
        self.promise("navigator.serviceWorker.ready.then(() => true)").await?;
        self.until("the service worker to take charge", "navigator.serviceWorker.controller").await
    }

    /// Clicks what a selector names, once it is there, in the middle of the screen.
    pub async fn click(&self, selector: &str) -> Result<()> {
        let found = json!(selector);
        self.until(&format!("{selector} to be there"), &format!("document.querySelector({found})"))
            .await?;
        self.script(&format!(
            "document.querySelector({found}).scrollIntoView({{ block: 'center' }})"
        ))
        .await?;
        let element = self.driver.find(By::Css(selector)).await?;
        element.click().await.with_context(|| format!("clicking {selector}"))
    }

    /// Clicks the button or link that reads so.
    pub async fn press(&self, words: &str) -> Result<()> {
        let script = format!(
            "return [...document.querySelectorAll('button, a, summary')].filter((e) => \
               (e.innerText.trim() === {0} || e.getAttribute('aria-label') === {0}) && e.getClientRects().length)\
               .map((e) => {{ e.dataset.press = 'x'; e.scrollIntoView({{ block: 'center' }}); return 1; }}).length",
            json!(words)
        );
        let count = self.script(&script).await?;
        ensure!(
            count != json!(0),
            "nothing to press reads “{words}”; the page shows:\n{}",
            self.words().await?
        );
        let element = self.driver.find(By::Css("[data-press]")).await?;
        self.script(
            "document.querySelectorAll('[data-press]').forEach((e) => delete e.dataset.press)",
        )
        .await?;
        element.click().await.with_context(|| format!("pressing “{words}”"))
    }

    /// Opens a group of fields by its heading, once it is there.
    pub async fn open_group(&self, title: &str) -> Result<()> {
        let open = format!(
            "(() => {{ const it = [...document.querySelectorAll('details.group')]\
               .find((e) => e.querySelector('h2').textContent === {}); if (it) it.open = true;\
               return Boolean(it); }})()",
            json!(title)
        );
        self.until(&format!("the group {title}"), &open).await
    }

    /// Fails when the axle in view has no answer or the page complains.
    pub async fn answered(&self) -> Result<()> {
        let words = self.words().await?;
        let silent = "return !document.querySelector('.no-answer, .notice.trouble')";
        ensure!(self.script(silent).await? == json!(true), "there is no answer:\n{words}");
        ensure!(!words.contains("NaN"), "{words}");
        Ok(())
    }

    /// Replaces a field's text by typing, as a person does.
    pub async fn fill(&self, id: &str, text: &str) -> Result<()> {
        let selector = format!("[id='{id}']");
        self.click(&selector).await?;
        let field = self.driver.find(By::Css(&selector)).await?;
        field.send_keys(Key::Control + "a").await?;
        field.send_keys(text).await?;
        Ok(())
    }

    /// A field's text.
    pub async fn value(&self, id: &str) -> Result<String> {
        let text = self
            .script(&format!("return document.getElementById({})?.value ?? ''", json!(id)))
            .await?;
        Ok(text.as_str().unwrap_or_default().to_owned())
    }

    /// Waits until a person can read these words, in any case.
    pub async fn reads(&self, words: &str) -> Result<()> {
        let wanted = json!(words.to_lowercase());
        self.until(
            &format!("“{words}”"),
            &format!("document.body.innerText.toLowerCase().includes({wanted})"),
        )
        .await
    }

    /// Goes to one of the app's pages by its name in the address.
    pub async fn turn_to(&self, slug: &str) -> Result<()> {
        self.script(&format!("location.hash = {}", json!(slug))).await?;
        self.until(
            &format!("the page {slug}"),
            &format!("document.querySelector('main#page.at-{slug} h1')"),
        )
        .await
    }

    /// What a person reads on the page.
    pub async fn words(&self) -> Result<String> {
        let text = self.script("return document.body.innerText").await?;
        Ok(text.as_str().unwrap_or_default().to_owned())
    }

    /// Fails on any error or warning in the console since the last time.
    pub async fn quiet_console(&self) -> Result<()> {
        let entries = self.driver.browser_log().await?;
        let loud: Vec<String> = entries
            .into_iter()
            .filter(|entry| matches!(entry.level.as_str(), "SEVERE" | "WARNING"))
            .map(|entry| format!("{}: {}", entry.level, entry.message))
            .collect();
        ensure!(loud.is_empty(), "the console says:\n{}", loud.join("\n"));
        Ok(())
    }

    /// Fails when the page asked anyone but its own server for anything.
    pub async fn no_third_party(&self) -> Result<()> {
        let asked = self
            .script(
                "return performance.getEntriesByType('resource').map((e) => e.name)\
                 .filter((u) => new URL(u).origin !== location.origin && !u.startsWith('blob:') && !u.startsWith('data:'))",
            )
            .await?;
        ensure!(asked == json!([]), "the page asked elsewhere: {asked}");
        Ok(())
    }

    /// Fails when the page is wider than the screen.
    pub async fn no_sideways_scroll(&self) -> Result<()> {
        let excess = self
            .script("return document.documentElement.scrollWidth - document.documentElement.clientWidth")
            .await?;
        ensure!(
            excess.as_f64().is_some_and(|px| px <= 0.0),
            "the page is {excess} px wider than the screen"
        );
        Ok(())
    }

    /// Saves what is on the screen under `target/shots/`.
    pub async fn picture(&self, name: &str) -> Result<()> {
        let dir = house::target().join("shots");
        std::fs::create_dir_all(&dir)?;
        let png = self.driver.screenshot_as_png().await?;
        std::fs::write(dir.join(format!("{name}-{}.png", self.look)), png)?;
        Ok(())
    }

    /// The driver, for what a journey does by hand.
    pub fn driver(&self) -> &WebDriver {
        &self.driver
    }

    /// Closes the browser, so that its profile can be opened again.
    pub async fn close(self) -> Result<()> {
        WebDriver::clone(&self.driver).quit().await?;
        Ok(())
    }
}

/// A running chromedriver; ended when dropped.
struct DriverProcess {
    child: Child,
    address: String,
}

impl DriverProcess {
    fn start(program: &PathBuf) -> Result<Self> {
        let mut child = Command::new(program)
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .context("could not start chromedriver")?;
        let output = child.stdout.take().context("chromedriver has no output")?;
        let mut lines = BufReader::new(output).lines();
        let port = lines.by_ref().map_while(Result::ok).find_map(|line| {
            let (_, rest) = line.split_once("successfully on port ")?;
            rest.trim_end_matches('.').trim().parse::<u16>().ok()
        });
        // Read on, or the driver stops at a full pipe.
        std::thread::spawn(move || lines.for_each(drop));
        let Some(port) = port else {
            let _ = child.kill();
            bail!("chromedriver did not say on which port it listens");
        };
        Ok(Self { child, address: format!("http://localhost:{port}") })
    }
}

impl Drop for DriverProcess {
    fn drop(&mut self) {
        // Asked to shut down it closes its browsers, which a kill would leave behind.
        let host = self.address.trim_start_matches("http://");
        if let Ok(mut stream) = TcpStream::connect(host) {
            let _ = stream.set_read_timeout(Some(Duration::from_secs(10)));
            let _ = write!(
                stream,
                "GET /shutdown HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"
            );
            let _ = stream.read_to_end(&mut Vec::new());
        }
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
