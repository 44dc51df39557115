//! Serves a folder of static files over HTTP, as a plain host would: types, compressed copies,
//! how long a file may be kept. Only reading; only inside the folder.

use std::fs;
use std::net::{IpAddr, SocketAddr, UdpSocket};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread::{self, JoinHandle};

use anyhow::{Result, anyhow};
use tiny_http::{Header, Method, Request, Response, Server};

use crate::finish;

/// A running server; it stops when dropped.
pub struct StaticServer {
    server: Arc<Server>,
    workers: Vec<JoinHandle<()>>,
    address: SocketAddr,
}

impl StaticServer {
    /// Serves `dir` at `address`; port 0 takes a free one.
    ///
    /// # Errors
    /// When the address cannot be had.
    pub fn start(dir: &Path, address: SocketAddr) -> Result<Self> {
        let server = Server::http(address)
            .map_err(|error| anyhow!("could not serve at {address}: {error}"))?;
        let server = Arc::new(server);
        let address = server.server_addr().to_ip().unwrap_or(address);
        let workers = (0..4)
            .map(|_| {
                let (server, dir) = (Arc::clone(&server), dir.to_path_buf());
                thread::spawn(move || {
                    while let Ok(request) = server.recv() {
                        answer(&dir, request);
                    }
                })
            })
            .collect();
        Ok(Self { server, workers, address })
    }

    /// Where it listens.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Waits for as long as the server runs.
    pub fn wait(mut self) {
        for worker in std::mem::take(&mut self.workers) {
            let _ = worker.join();
        }
    }
}

impl Drop for StaticServer {
    fn drop(&mut self) {
        for _ in &self.workers {
            self.server.unblock();
        }
        for worker in std::mem::take(&mut self.workers) {
            let _ = worker.join();
        }
    }
}

/// This machine's address on its local network, when it has one. Nothing is sent.
pub fn lan_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind(("0.0.0.0", 0)).ok()?;
    // An address set aside for documentation (RFC 5737): only the route to it is asked for.
    socket.connect(("192.0.2.1", 9)).ok()?;
    Some(socket.local_addr().ok()?.ip()).filter(|ip| !ip.is_loopback() && !ip.is_unspecified())
}

fn answer(dir: &Path, request: Request) {
    let head_only = *request.method() == Method::Head;
    if !head_only && *request.method() != Method::Get {
        let _ = request.respond(Response::from_string("only GET and HEAD\n").with_status_code(405));
        return;
    }
    let Some(path) = locate(dir, request.url()) else {
        let _ = request.respond(Response::from_string("not found\n").with_status_code(404));
        return;
    };
    let accepted = request
        .headers()
        .iter()
        .find(|header| header.field.equiv("Accept-Encoding"))
        .map(|header| header.value.as_str().to_owned())
        .unwrap_or_default();
    let (bytes, encoding) = load(&path, &accepted);
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let kept =
        if finish::is_hashed(&name) { "public, max-age=31536000, immutable" } else { "no-cache" };
    let mut response = Response::from_data(bytes);
    let headers = [
        ("Content-Type", media_type(&name)),
        ("Cache-Control", kept),
        ("Vary", "Accept-Encoding"),
        ("X-Content-Type-Options", "nosniff"),
        // A page's own policy cannot say this one.
        ("Content-Security-Policy", "frame-ancestors 'none'"),
    ];
    let encoding = encoding.map(|name| ("Content-Encoding", name));
    for (field, value) in headers.into_iter().chain(encoding) {
        if let Ok(header) = Header::from_bytes(field, value) {
            response.add_header(header);
        }
    }
    let _ = request.respond(response);
}

/// The file a request's path names, inside `dir` or not at all. Our names are plain, so anything
/// escaped, hidden or climbing is simply not found.
fn locate(dir: &Path, url: &str) -> Option<PathBuf> {
    let path = url.split(['?', '#']).next()?.strip_prefix('/')?;
    let mut file = dir.to_path_buf();
    for part in path.split('/').filter(|part| !part.is_empty()) {
        let plain =
            part.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_' | b'.'));
        if !plain || part.starts_with('.') {
            return None;
        }
        file.push(part);
    }
    if file.is_dir() {
        file.push("index.html");
    }
    file.is_file().then_some(file)
}

fn load(path: &Path, accepted: &str) -> (Vec<u8>, Option<&'static str>) {
    let sibling = |extension: &str| {
        let mut name = path.as_os_str().to_owned();
        name.push(".");
        name.push(extension);
        fs::read(PathBuf::from(name)).ok()
    };
    for (encoding, extension) in [("br", "br"), ("gzip", "gz")] {
        if accepts(accepted, encoding)
            && let Some(bytes) = sibling(extension)
        {
            return (bytes, Some(encoding));
        }
    }
    (fs::read(path).unwrap_or_default(), None)
}

/// RFC 9110 §12.5.3, as far as a file server needs it: named, and not refused with `q=0`.
fn accepts(header: &str, encoding: &str) -> bool {
    header.split(',').any(|item| {
        let mut parts = item.split(';').map(str::trim);
        let named = parts.next().is_some_and(|name| name.eq_ignore_ascii_case(encoding));
        let refused = parts.any(|part| {
            let weight = part.strip_prefix("q=").and_then(|weight| weight.parse::<f64>().ok());
            weight.is_some_and(|weight| weight <= 0.0)
        });
        named && !refused
    })
}

fn media_type(name: &str) -> &'static str {
    match name.rsplit_once('.').map(|(_, extension)| extension) {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("wasm") => "application/wasm",
        Some("json") => "application/json",
        Some("webmanifest") => "application/manifest+json",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("woff2") => "font/woff2",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use std::io::{Read, Write};
    use std::net::{Ipv4Addr, TcpStream};

    use super::*;

    fn folder(name: &str) -> PathBuf {
        let dir = std::env::temp_dir().join(format!("tapewright-{}-{name}", std::process::id()));
        fs::create_dir_all(dir.join("icons")).unwrap();
        fs::write(dir.join("index.html"), "<p>page</p>").unwrap();
        fs::write(dir.join("app.wasm"), "raw").unwrap();
        fs::write(dir.join("app.wasm.br"), "packed").unwrap();
        fs::write(dir.join(".hidden"), "secret").unwrap();
        dir
    }

    fn ask(server: &StaticServer, request: &str) -> String {
        let mut stream = TcpStream::connect(server.address()).unwrap();
        write!(stream, "{request}Connection: close\r\n\r\n").unwrap();
        let mut text = String::new();
        stream.read_to_string(&mut text).unwrap();
        text
    }

    #[test]
    fn answers_like_a_static_host() {
        let dir = folder("host");
        let server = StaticServer::start(&dir, (Ipv4Addr::LOCALHOST, 0).into()).unwrap();
        let page = ask(&server, "GET /?x=1 HTTP/1.1\r\nHost: a\r\n");
        assert!(page.starts_with("HTTP/1.1 200") && page.ends_with("<p>page</p>"), "{page}");
        let packed =
            ask(&server, "GET /app.wasm HTTP/1.1\r\nHost: a\r\nAccept-Encoding: gzip, br\r\n");
        assert!(packed.contains("application/wasm") && packed.ends_with("packed"), "{packed}");
        let raw = ask(&server, "GET /app.wasm HTTP/1.1\r\nHost: a\r\nAccept-Encoding: br;q=0\r\n");
        assert!(raw.ends_with("raw"), "{raw}");
        let post = ask(&server, "POST / HTTP/1.1\r\nHost: a\r\nContent-Length: 0\r\n");
        assert!(post.starts_with("HTTP/1.1 405"), "{post}");
        drop(server);
        fs::remove_dir_all(dir).unwrap();
    }

    #[test]
    fn nothing_outside_the_folder_is_found() {
        let dir = folder("walls");
        let check =
            |url: &str, found: bool| assert_eq!(locate(&dir, url).is_some(), found, "{url}");
        check("/", true);
        check("/index.html?a#b", true);
        check("/icons", false);
        check("/../Cargo.toml", false);
        check("/icons/../index.html", false);
        check("/%2e%2e/Cargo.toml", false);
        check("/.hidden", false);
        check("/icons\\..\\x", false);
        check("//etc/passwd", false);
        fs::remove_dir_all(dir).unwrap();
    }
}
