//! Serves a folder of static files over HTTP, as a plain host would: types, compressed copies,
//! how long a file may be kept. Only reading; only inside the folder.

use std::fs;
use std::io::{self, BufRead, BufReader, Read, Write};
use std::net::{IpAddr, Shutdown, SocketAddr, TcpListener, TcpStream, UdpSocket};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use anyhow::{Context, Result};

use crate::finish;

/// The longest head of a request that is read, bytes. Browsers send one of a thousand.
const LONGEST_HEAD: u64 = 16 * 1024;
/// How long a connection that nobody uses is kept, and an answer nobody takes is offered.
const PATIENCE: Duration = Duration::from_mins(1);

/// A running server; it stops when dropped.
pub struct StaticServer {
    stopped: Arc<AtomicBool>,
    doorman: Option<JoinHandle<()>>,
    address: SocketAddr,
}

impl StaticServer {
    /// Serves `dir` at `address`; port 0 takes a free one.
    ///
    /// # Errors
    /// When the address cannot be had.
    pub fn start(dir: &Path, address: SocketAddr) -> Result<Self> {
        let listener =
            TcpListener::bind(address).with_context(|| format!("could not serve at {address}"))?;
        let address = listener.local_addr()?;
        let stopped = Arc::new(AtomicBool::new(false));
        let (over, dir) = (Arc::clone(&stopped), dir.to_path_buf());
        let doorman = thread::spawn(move || {
            for stream in listener.incoming() {
                if over.load(Ordering::SeqCst) {
                    break;
                }
                let (over, dir) = (Arc::clone(&over), dir.clone());
                // A thread for each connection, and never fewer: a browser opens six at once and keeps
                // them, so with fewer threads one waits until another is closed.
                thread::spawn(move || stream.and_then(|stream| converse(&dir, &stream, &over)));
            }
        });
        Ok(Self { stopped, doorman: Some(doorman), address })
    }

    /// Where it listens.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Waits for as long as the server runs.
    pub fn wait(mut self) {
        if let Some(doorman) = self.doorman.take() {
            let _ = doorman.join();
        }
    }
}

impl Drop for StaticServer {
    fn drop(&mut self) {
        self.stopped.store(true, Ordering::SeqCst);
        // The door is looked at when somebody knocks. At every address there is one of this machine.
        let own = match self.address {
            SocketAddr::V4(_) => IpAddr::from([127, 0, 0, 1]),
            SocketAddr::V6(_) => IpAddr::from([0, 0, 0, 0, 0, 0, 0, 1]),
        };
        let all = self.address.ip().is_unspecified();
        let ip = if all { own } else { self.address.ip() };
        let knocked = TcpStream::connect((ip, self.address.port())).is_ok();
        if let Some(doorman) = self.doorman.take().filter(|_| knocked) {
            let _ = doorman.join();
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

/// What of a request's head is looked at.
struct Request {
    method: String,
    url: String,
    accepted: String,
    /// The next request comes on the same connection (RFC 9112 §9.3).
    kept: bool,
}

/// Answers one request after the other on a connection.
fn converse(dir: &Path, stream: &TcpStream, over: &AtomicBool) -> io::Result<()> {
    stream.set_read_timeout(Some(PATIENCE))?;
    stream.set_write_timeout(Some(PATIENCE))?;
    stream.set_nodelay(true)?;
    let mut reader = BufReader::new(stream);
    while let Some(request) = read(&mut reader)? {
        if over.load(Ordering::SeqCst) {
            break;
        }
        answer(dir, &request, stream)?;
        if !request.kept {
            break;
        }
    }
    stream.shutdown(Shutdown::Both)
}

/// The next request, or none where the other side has left or says nothing that can be read.
fn read(reader: &mut impl BufRead) -> io::Result<Option<Request>> {
    let mut lines = reader.take(LONGEST_HEAD).lines();
    let Some(first) = lines.next().transpose()? else { return Ok(None) };
    let mut words = first.split(' ').map(str::to_owned);
    let (Some(method), Some(url), Some(version)) = (words.next(), words.next(), words.next())
    else {
        return Ok(None);
    };
    // What has a body is not read, so nothing can follow it.
    let reads = matches!(method.as_str(), "GET" | "HEAD");
    let kept = reads && version == "HTTP/1.1";
    let mut request = Request { method, url, accepted: String::new(), kept };
    for line in lines {
        let line = line?;
        if line.is_empty() {
            return Ok(Some(request));
        }
        let Some((name, value)) = line.split_once(':') else { return Ok(None) };
        let value = value.trim();
        if name.eq_ignore_ascii_case("Accept-Encoding") {
            value.clone_into(&mut request.accepted);
        } else if name.eq_ignore_ascii_case("Connection") {
            request.kept &= !value.eq_ignore_ascii_case("close");
        } else if name.eq_ignore_ascii_case("Content-Length") {
            request.kept &= value == "0";
        } else if name.eq_ignore_ascii_case("Transfer-Encoding") {
            request.kept = false;
        }
    }
    Ok(None)
}

fn answer(dir: &Path, request: &Request, mut stream: impl Write) -> io::Result<()> {
    let plain = "text/plain; charset=utf-8";
    let (status, bytes, media, encoding, stored) = if !matches!(&*request.method, "GET" | "HEAD") {
        ("405 Method Not Allowed", b"only GET and HEAD\n".to_vec(), plain, None, "no-store")
    } else if let Some(path) = locate(dir, &request.url) {
        let (bytes, encoding) = load(&path, &request.accepted);
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let hashed = finish::is_hashed(&name);
        let stored = if hashed { "public, max-age=31536000, immutable" } else { "no-cache" };
        ("200 OK", bytes, media_type(&name), encoding, stored)
    } else {
        ("404 Not Found", b"not found\n".to_vec(), plain, None, "no-store")
    };
    let encoding =
        encoding.map_or_else(String::new, |name| format!("Content-Encoding: {name}\r\n"));
    let connection = if request.kept { "keep-alive" } else { "close" };
    // frame-ancestors: a page's own policy cannot say this one.
    let mut message = format!(
        "HTTP/1.1 {status}\r\nContent-Type: {media}\r\nContent-Length: {}\r\n{encoding}\
         Cache-Control: {stored}\r\nVary: Accept-Encoding\r\nX-Content-Type-Options: nosniff\r\n\
         Content-Security-Policy: frame-ancestors 'none'\r\nConnection: {connection}\r\n\r\n",
        bytes.len()
    )
    .into_bytes();
    if request.method != "HEAD" {
        message.extend(bytes);
    }
    stream.write_all(&message)
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
    use std::net::Ipv4Addr;

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
    fn more_connections_than_a_browser_opens_are_all_answered_while_all_stay_open() {
        let dir = folder("many");
        let server = StaticServer::start(&dir, (Ipv4Addr::LOCALHOST, 0).into()).unwrap();
        let mut streams: Vec<TcpStream> =
            (0..40).map(|_| TcpStream::connect(server.address()).unwrap()).collect();
        for turn in ["first", "second"] {
            for stream in &mut streams {
                stream.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
                write!(stream, "GET /index.html HTTP/1.1\r\nHost: a\r\n\r\n").unwrap();
            }
            for stream in &mut streams {
                let (mut reader, mut length) = (BufReader::new(stream), 0);
                for line in reader.by_ref().lines().map(|line| line.expect(turn)) {
                    if let Some(value) = line.strip_prefix("Content-Length: ") {
                        length = value.parse().unwrap();
                    }
                    if line.is_empty() {
                        break;
                    }
                }
                let mut body = vec![0; length];
                reader.read_exact(&mut body).unwrap();
                assert_eq!(body, b"<p>page</p>", "{turn}");
            }
        }
        // Once it has stopped, an open connection is not answered either.
        drop(server);
        let mut stream = streams.swap_remove(0);
        let _ = write!(stream, "GET /index.html HTTP/1.1\r\nHost: a\r\n\r\n");
        let mut text = String::new();
        let _ = stream.read_to_string(&mut text);
        assert_eq!(text, "");
        fs::remove_dir_all(dir).unwrap();
    }

    #[test]
    fn a_head_is_answered_without_a_body_and_nonsense_with_silence() {
        let dir = folder("head");
        let server = StaticServer::start(&dir, (Ipv4Addr::LOCALHOST, 0).into()).unwrap();
        let head = ask(&server, "HEAD / HTTP/1.1\r\nHost: a\r\n");
        assert!(head.contains("Content-Length: 11\r\n") && head.ends_with("\r\n\r\n"), "{head}");
        let gone = ask(&server, "GET /gone HTTP/1.1\r\nHost: a\r\n");
        assert!(gone.starts_with("HTTP/1.1 404"), "{gone}");
        assert_eq!(ask(&server, "nonsense\r\n"), "");
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
