//! `web/index.html`: the one source of the page, whichever bundler reads it.
//!
//! Assets are declared as Trunk declares them, `<link data-trunk rel=".." href="..">`; this reads
//! those links, and turns either bundler's page into the finished one.

use std::cell::RefCell;
use std::rc::Rc;

use anyhow::{Context, Result, bail};
use lol_html::html_content::ContentType;
use lol_html::{RewriteStrSettings, comments, element, rewrite_str, text};

/// The script that starts the app and registers the service worker.
pub const START: &str = "start.js";
/// Written by the bindings generator beside [`WASM`].
pub const GLUE: &str = "tapewright-web.js";
/// The app.
pub const WASM: &str = "tapewright-web_bg.wasm";

/// One declared asset: how it is used, and its path inside `web/`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asset {
    /// `rust`, `css`, `copy-file` or `copy-dir`.
    pub rel: String,
    /// Relative to `web/`.
    pub href: String,
}

/// The assets a source page declares, in order.
///
/// # Errors
/// When the page is not HTML that can be read, or a link lacks `rel` or `href`.
pub fn assets(html: &str) -> Result<Vec<Asset>> {
    let found = Rc::new(RefCell::new(Vec::new()));
    let sink = Rc::clone(&found);
    let collect = element!("link[data-trunk]", move |link| {
        let rel = link.get_attribute("rel").ok_or("a data-trunk link has no rel")?;
        let href = link.get_attribute("href").ok_or("a data-trunk link has no href")?;
        sink.borrow_mut().push(Asset { rel, href });
        Ok(())
    });
    let settings = RewriteStrSettings::new().append_element_content_handler(collect);
    rewrite_str(html, settings).context("could not read index.html")?;
    Ok(found.take())
}

/// The finished page from a bundler's: no inline script, no hint of the bundler, our own start.
///
/// # Errors
/// When the page cannot be read, or lacks its content security policy.
pub fn normalise(html: &str) -> Result<String> {
    let policy = Rc::new(RefCell::new(false));
    let seen = Rc::clone(&policy);
    let head = format!(
        "<link rel=\"modulepreload\" href=\"{GLUE}\">\n    \
         <link rel=\"preload\" href=\"{WASM}\" as=\"fetch\" type=\"application/wasm\" crossorigin>\n    \
         <script type=\"module\" src=\"{START}\"></script>\n  "
    );
    let handlers = vec![
        element!("meta[http-equiv=\"Content-Security-Policy\"]", move |_| {
            *seen.borrow_mut() = true;
            Ok(())
        }),
        element!("link[data-trunk]", |link| {
            if link.get_attribute("rel").as_deref() == Some("css") {
                link.remove_attribute("data-trunk");
                link.set_attribute("rel", "stylesheet")?;
            } else {
                link.remove();
            }
            Ok(())
        }),
        element!("link[rel=\"stylesheet\"]", |link| {
            let href = link.get_attribute("href").unwrap_or_default();
            link.set_attribute("href", href.trim_start_matches("./"))?;
            for extra in ["integrity", "crossorigin", "nonce"] {
                link.remove_attribute(extra);
            }
            Ok(())
        }),
        element!("link[rel=\"modulepreload\"], link[rel=\"preload\"], script", |hint| {
            hint.remove();
            Ok(())
        }),
        comments!("*", |comment| {
            comment.remove();
            Ok(())
        }),
        element!("head", move |element| {
            element.append(&head, ContentType::Html);
            Ok(())
        }),
    ];
    let settings = handlers
        .into_iter()
        .fold(RewriteStrSettings::new(), RewriteStrSettings::append_element_content_handler);
    let page = rewrite_str(html, settings).context("could not rewrite index.html")?;
    if !policy.take() {
        bail!("index.html has no Content-Security-Policy");
    }
    let lines: Vec<&str> =
        page.lines().map(str::trim_end).filter(|line| !line.is_empty()).collect();
    Ok(lines.join("\n") + "\n")
}

/// What the policy of the page would refuse, or what would call out: each in words.
///
/// # Errors
/// When the page cannot be read.
pub fn faults(html: &str) -> Result<Vec<String>> {
    let found = Rc::new(RefCell::new(Vec::new()));
    let (sink, inline) = (Rc::clone(&found), Rc::clone(&found));
    let handlers = vec![
        element!("*", move |element| {
            let tag = element.tag_name();
            for attribute in element.attributes() {
                let (name, value) = (attribute.name(), attribute.value());
                let link = matches!(name.as_str(), "href" | "src" | "srcset" | "action");
                if link && (value.contains("://") || value.starts_with("//")) {
                    sink.borrow_mut().push(format!("<{tag}> calls out to {value}"));
                }
                if name == "style" || name.starts_with("on") {
                    sink.borrow_mut().push(format!("<{tag}> has an inline {name}"));
                }
            }
            Ok(())
        }),
        text!("script, style", move |chunk| {
            if !chunk.as_str().trim().is_empty() {
                inline.borrow_mut().push("inline script or style".to_owned());
            }
            Ok(())
        }),
    ];
    let settings = handlers
        .into_iter()
        .fold(RewriteStrSettings::new(), RewriteStrSettings::append_element_content_handler);
    rewrite_str(html, settings).context("could not read index.html")?;
    Ok(found.take())
}

#[cfg(test)]
mod tests {
    use super::*;

    const CSP: &str = r#"<meta http-equiv="Content-Security-Policy" content="default-src 'self'">"#;

    #[test]
    fn either_bundlers_page_ends_the_same() {
        let ours = format!(
            "<html><head>{CSP}\n<link data-trunk rel=\"rust\" href=\"Cargo.toml\">\n\
             <link data-trunk rel=\"css\" href=\"style.css\">\n</head><body><!-- hi --></body></html>"
        );
        let trunks = format!(
            "<html><head>{CSP}\n<script type=\"module\">import init from './x.js';</script>\n\
             <link rel=\"stylesheet\" href=\"./style.css\" integrity=\"sha384-x\">\n\
             <link rel=\"modulepreload\" href=\"./x.js\"></head><body></body></html>"
        );
        let (ours, trunks) = (normalise(&ours).unwrap(), normalise(&trunks).unwrap());
        assert!(ours.contains(r#"<link rel="stylesheet" href="style.css">"#), "{ours}");
        let shape = |page: &str| page.split_whitespace().collect::<String>();
        assert_eq!(shape(&ours), shape(&trunks));
        assert_eq!(faults(&ours).unwrap(), Vec::<String>::new());
    }

    #[test]
    fn a_page_without_a_policy_is_refused() {
        assert!(normalise("<html><head></head></html>").is_err());
    }

    #[test]
    fn what_the_policy_would_refuse_is_named() {
        let check = |html: &str, want: &str| {
            let got = faults(html).unwrap();
            assert_eq!(got, vec![want.to_owned()], "{html}");
        };
        check("<script>let x;</script>", "inline script or style");
        check("<p style=\"color:red\">", "<p> has an inline style");
        check("<button onclick=\"x()\">", "<button> has an inline onclick");
        check(
            "<img src=\"//elsewhere.example/x.png\">",
            "<img> calls out to //elsewhere.example/x.png",
        );
        check(
            "<a href=\"https://elsewhere.example\">",
            "<a> calls out to https://elsewhere.example",
        );
    }

    #[test]
    fn assets_are_read_in_order() {
        let got =
            assets("<link data-trunk rel=\"css\" href=\"a.css\"><link rel=\"icon\" href=\"b\">")
                .unwrap();
        assert_eq!(got, vec![Asset { rel: "css".into(), href: "a.css".into() }]);
    }
}
