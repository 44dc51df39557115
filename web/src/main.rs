//! Mounts the app on the page.

fn main() {
    tapewright_web::mount();
}
