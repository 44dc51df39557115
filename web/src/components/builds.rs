//! The list of builds and everything done to a whole build: new, copy, rename, delete, file, link.

use super::build_link::{copy_link, link_of};
use super::builds_new::new_build;
use super::builds_versions::versions;
use super::icon::{Icon, icon};
use super::notices::Notices;
use super::segments::segments;
use crate::hooks::{Desk, use_desk};
use crate::infra::{clipboard, file};
use crate::state::{Action, Entry, Kind, LogAct, Page, Theme, Tone};
use buildfile::{Build, json};
use wasm_bindgen::JsCast;
use web_sys::{HtmlDialogElement, HtmlInputElement};
use yew::prelude::*;

/// The dialog.
#[derive(Properties, PartialEq)]
pub struct BuildsProps {
    /// Whether it is open.
    pub open: bool,
    /// Called when it closes.
    pub close: Callback<()>,
}

/// The dialog: a real one, so that Escape and focus work as everywhere.
#[component]
pub fn Builds(props: &BuildsProps) -> Html {
    let desk = use_desk();
    let dialog = use_node_ref();
    {
        let dialog = dialog.clone();
        use_effect_with(props.open, move |open| {
            if let Some(dialog) = dialog.cast::<HtmlDialogElement>() {
                if *open && !dialog.open() {
                    // A dialog that is in the page and closed always opens.
                    let _ = dialog.show_modal();
                } else if !*open && dialog.open() {
                    dialog.close();
                }
            }
        });
    }
    let onclose = props.close.reform(|_: Event| ());
    let shut = props.close.reform(|_: MouseEvent| ());
    let state = desk.state();
    html! {
        <dialog ref={dialog} class="builds" aria-labelledby="builds-title" {onclose}>
            if props.open {
                <div class="dialog-head">
                    <h2 id="builds-title">{ "Builds" }</h2>
                    <button type="button" class="square" aria-label="Close" onclick={shut}>{ icon(Icon::Close) }</button>
                </div>
                // The page behind an open dialog cannot be reached.
                <Notices />
                <ul class="build-list">
                    { for state.entries.iter().map(|entry| build_row(entry, entry.id == state.open, &desk)) }
                </ul>
                { new_build(&desk, &props.close) }
                <Transfer />
                { versions(&desk) }
                <section>
                    <h3>{ "Paper or blueprint" }</h3>
                    { theme_choice(&desk) }
                </section>
            }
        </dialog>
    }
}

fn build_row(entry: &Entry, here: bool, desk: &Desk) -> Html {
    let id = entry.id;
    let name = &entry.build.name;
    let text = entry.drafts.get("name").map_or(name, |draft| &draft.text).clone();
    let input_id = format!("name-{id}");
    let oninput = {
        let desk = desk.clone();
        Callback::from(move |event: InputEvent| {
            if let Some(text) = super::number_field::text_of(&event) {
                desk.act(Action::Rename(id, text));
            }
        })
    };
    let sets = entry.build.log.sets.clone();
    let merge = (!here && !sets.is_empty())
        .then(|| desk.on(move |_: MouseEvent| Action::Log(LogAct::Merge(sets.clone()))));
    let kind = match entry.kind {
        Kind::Example => "example, invented",
        Kind::Own => "yours",
        Kind::Received => "received copy",
    };
    html! {
        <li key={id} class={classes!("build-row", here.then_some("here"))}>
            <div class="field">
                <label for={input_id.clone()}>{ if here { format!("On the bench · {kind}") } else { kind.to_owned() } }</label>
                <input id={input_id} type="text" autocomplete="off" value={text} {oninput}
                    onblur={desk.on(|_: FocusEvent| Action::Leave)} />
            </div>
            <div class="row-buttons">
                <button type="button" class="primary" disabled={here} aria-label={format!("Open {name}")} onclick={desk.on(move |_: MouseEvent| Action::Open(id))}>{ "Open" }</button>
                <button type="button" aria-label={format!("Duplicate {name}")} onclick={desk.on(move |_: MouseEvent| Action::Duplicate(id))}>{ "Duplicate" }</button>
                if let Some(merge) = merge {
                    <button type="button" aria-label={format!("Bring the readings of {name} into the open build")} onclick={merge}>{ "Bring its readings over" }</button>
                }
                <button type="button" aria-label={format!("Delete {name}")} onclick={desk.on(move |_: MouseEvent| Action::Delete(id))}>{ "Delete" }</button>
            </div>
        </li>
    }
}

/// Files and links.
#[component]
fn Transfer() -> Html {
    let desk = use_desk();
    let said = use_state(String::new);
    let reader = use_mut_ref(|| None::<gloo::file::callbacks::FileReader>);
    let state = desk.state();
    let build = state.entry().build.clone();
    let units = state.preferences.units;
    let export = {
        let (desk, build) = (desk.clone(), build.clone());
        Callback::from(move |_: MouseEvent| {
            let written = json::to_json(&Build { units, ..(*build).clone() });
            match written {
                Ok(text) => {
                    if file::download(&file::file_name(&build.name), &text) {
                        desk.act(Action::Saved);
                    } else {
                        desk.act(Action::Tell(
                            Tone::Trouble,
                            "This browser does not let the page save files.".into(),
                        ));
                    }
                }
                Err(error) => desk.act(Action::Tell(Tone::Trouble, error.to_string())),
            }
        })
    };
    let import = {
        let (desk, reader) = (desk.clone(), reader.clone());
        Callback::from(move |event: Event| {
            let input =
                event.target().and_then(|target| target.dyn_into::<HtmlInputElement>().ok());
            let picked =
                input.as_ref().and_then(HtmlInputElement::files).and_then(|files| files.get(0));
            let Some(picked) = picked else { return };
            if let Some(input) = input {
                input.set_value("");
            }
            // Longer than any build is refused before it is read.
            if picked.size() > buildfile::limits::JSON_BYTES as f64 {
                desk.act(Action::Tell(Tone::Trouble, format!(
                    "That file has {:.1} MB; a build has at most {:.0}. Nothing of yours was changed. Pick the build's own file.",
                    picked.size() / 1e6, buildfile::limits::JSON_BYTES as f64 / 1e6
                )));
                return;
            }
            let desk = desk.clone();
            let task = gloo::file::callbacks::read_as_bytes(
                &gloo::file::Blob::from(picked),
                move |read| match read {
                    Ok(bytes) => {
                        desk.act(Action::Import(String::from_utf8_lossy(&bytes).into_owned()));
                    }
                    Err(error) => desk.act(Action::Tell(
                        Tone::Trouble,
                        format!("The file could not be read: {error}"),
                    )),
                },
            );
            reader.replace(Some(task));
        })
    };
    let copy = copy_link(&build, units, &said);
    let share = {
        let build = build.clone();
        Callback::from(move |_: MouseEvent| {
            if let Ok(url) = link_of(&build, units) {
                let name = build.name.clone();
                wasm_bindgen_futures::spawn_local(async move {
                    // Closing the share sheet is an answer too.
                    let _ = clipboard::share(&name, &url).await;
                });
            }
        })
    };
    let open = {
        let desk = desk.clone();
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            let input = web_sys::window()
                .and_then(|window| window.document())
                .and_then(|document| document.get_element_by_id("open-link"))
                .and_then(|element| element.dyn_into::<HtmlInputElement>().ok());
            if let Some(input) = input {
                desk.act(Action::OpenLink(input.value()));
                input.set_value("");
            }
        })
    };
    html! {
        <section>
            <h3>{ "Send and receive" }</h3>
            <div class="row-buttons">
                <button type="button" onclick={copy}>{ "Copy link" }</button>
                if clipboard::can_share() { <button type="button" onclick={share}>{ "Share" }</button> }
                <button type="button" onclick={export}>{ "Save as file" }</button>
                <a class="button" href={format!("#{}", Page::Sheet.slug())}>{ "Sheet and code" }</a>
            </div>
            <p class="said" role="status">{ (*said).clone() }</p>
            <div class="field">
                <label for="open-file">{ "Open a file" }</label>
                <input id="open-file" type="file" accept="application/json,.json" onchange={import} />
            </div>
            <form class="field" onsubmit={open}>
                <label for="open-link">{ "Open a link" }</label>
                <div class="field-row">
                    <input id="open-link" type="text" autocomplete="off" placeholder="paste it here" />
                    <button type="submit">{ "Open" }</button>
                </div>
            </form>
        </section>
    }
}

const THEMES: [Theme; 3] = [Theme::Auto, Theme::Light, Theme::Dark];

fn theme_choice(desk: &Desk) -> Html {
    let on = THEMES.iter().position(|theme| *theme == desk.state().preferences.theme).unwrap_or(0);
    let pick =
        desk.on(|index: usize| Action::Theme(THEMES.get(index).copied().unwrap_or_default()));
    segments(
        "Theme",
        "",
        vec!["As the device".into(), "Paper".into(), "Blueprint".into()],
        on,
        &pick,
    )
}
