//! The phone's own sense of down, and what it says when nobody sees its screen.

use gloo::events::EventListener;
use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// Why a phone cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoSensor {
    /// The page came by an open connection, where sensors are off.
    Insecure,
    /// The person, or a setting of theirs, said no.
    Denied,
    /// There is none.
    Missing,
}

/// Asks for the sensor, where the browser wants to be asked; must follow a tap.
///
/// # Errors
/// Any [`NoSensor`].
pub async fn permit() -> Result<(), NoSensor> {
    let window = web_sys::window().ok_or(NoSensor::Missing)?;
    if !window.is_secure_context() {
        return Err(NoSensor::Insecure);
    }
    let get = |of: &JsValue, name: &str| Reflect::get(of, &name.into()).ok();
    let kind = get(&window, "DeviceOrientationEvent").filter(|kind| !kind.is_undefined());
    let kind = kind.ok_or(NoSensor::Missing)?;
    let ask = get(&kind, "requestPermission").and_then(|ask| ask.dyn_into::<Function>().ok());
    let Some(ask) = ask else { return Ok(()) };
    let asked = ask.call0(&kind).map_err(|_| NoSensor::Denied)?;
    let said = JsFuture::from(Promise::resolve(&asked)).await.map_err(|_| NoSensor::Denied)?;
    if said.as_string().as_deref() == Some("granted") { Ok(()) } else { Err(NoSensor::Denied) }
}

/// Listens: when, ms, and beta and gamma, degrees; not numbers where the device has no sensor.
pub fn listen(heard: impl Fn(f64, f64, f64) + 'static) -> Option<EventListener> {
    let window = web_sys::window()?;
    Some(EventListener::new(&window, "deviceorientation", move |event| {
        let angle = |name: &str| Reflect::get(event, &name.into()).ok()?.as_f64();
        let [beta, gamma] = ["beta", "gamma"].map(|name| angle(name).unwrap_or(f64::NAN));
        heard(event.time_stamp(), beta, gamma);
    }))
}

/// A sound maker; made in a tap, or it stays silent.
pub fn speaker() -> Option<web_sys::AudioContext> {
    web_sys::AudioContext::new().ok()
}

/// Beeps and shakes, for a screen nobody sees; a device that can do neither does nothing.
pub fn signal(speaker: Option<&web_sys::AudioContext>, pitch: f32) {
    let beep = || -> Result<(), JsValue> {
        let Some(speaker) = speaker else { return Ok(()) };
        let tone = speaker.create_oscillator()?;
        tone.frequency().set_value(pitch);
        tone.connect_with_audio_node(&speaker.destination())?;
        tone.start()?;
        tone.stop_with_when(speaker.current_time() + 0.25)
    };
    let _ = beep();
    if let Some(window) = web_sys::window() {
        let navigator = window.navigator();
        if Reflect::has(&navigator, &"vibrate".into()).unwrap_or(false) {
            let _ = navigator.vibrate_with_duration(200);
        }
    }
}
