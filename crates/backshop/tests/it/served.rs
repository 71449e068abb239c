//! The program serving its page: where it says it is, what it answers, and how it ends.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::program::Folder;

/// A program that serves; killed when the test is over, however that ends.
struct Served {
    child: Child,
    /// Host and port, as it told them.
    at: String,
    /// Everything it said until then.
    said: String,
}

impl Served {
    fn start(folder: &Folder, arguments: &[&str]) -> Self {
        let mut child =
            folder.command(arguments).stdout(Stdio::piped()).stderr(Stdio::null()).spawn().unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let (mut said, mut at) = (String::new(), String::new());
        for line in lines.by_ref() {
            let line = line.unwrap();
            if let Some(rest) = line.strip_prefix("Open http://127.0.0.1:") {
                at = format!("127.0.0.1:{}", rest.split_once('/').unwrap().0);
            }
            said.push_str(&line);
            said.push('\n');
            if line == "Ctrl-C ends it." {
                break;
            }
        }
        assert!(!at.is_empty(), "it told no address: {said}");
        // Whatever it says later has nowhere to stay.
        std::thread::spawn(move || lines.for_each(drop));
        Self { child, at, said }
    }

    fn get(&self, path: &str) -> String {
        let mut stream = TcpStream::connect(&self.at).unwrap();
        let host = &self.at;
        write!(
            stream,
            "GET {path} HTTP/1.1\r\nHost: {host}\r\nAccept: text/html\r\nConnection: close\r\n\r\n"
        )
        .unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        String::from_utf8_lossy(&answer).into_owned()
    }

    /// Asks it to end, as a keyboard or a system does, and tells its exit code.
    fn end(mut self, signal: &str) -> Option<i32> {
        let id = self.child.id().to_string();
        assert!(Command::new("kill").args([signal, &id]).status().unwrap().success());
        let begin = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status.code();
            }
            assert!(begin.elapsed() < Duration::from_secs(30), "it did not end");
            std::thread::sleep(Duration::from_millis(20));
        }
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        // It may have ended already.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn without_a_command_the_shop_is_opened() {
    let folder = Folder::new("served");
    let served = Served::start(&folder, &["--shop", "mine.backshop", "--port", "0"]);
    assert!(served.said.starts_with("The shop is mine.backshop\n"), "{}", served.said);
    let page = served.get("/");
    assert!(page.starts_with("HTTP/1.1 200") && page.contains("An empty shop"), "{page}");
    assert!(folder.path("mine.backshop").exists());
    // A page that listens for news does not keep it from ending.
    let mut listening = TcpStream::connect(&served.at).unwrap();
    write!(listening, "GET /events HTTP/1.1\r\nHost: {}\r\n\r\n", served.at).unwrap();
    let mut first = [0; 16];
    listening.read_exact(&mut first).unwrap();
    assert!(first.starts_with(b"HTTP/1.1 200"));
    assert_eq!(served.end("-INT"), Some(0));
}

#[test]
fn the_network_gets_a_code_to_type() {
    let folder = Folder::new("served-lan");
    let served = Served::start(&folder, &["--shop", "mine.backshop", "--port", "0", "--lan"]);
    let code =
        served.said.lines().find_map(|line| line.strip_prefix("The code that lets a browser in: ")).unwrap();
    assert_eq!(code.len(), 6);
    assert!(served.get("/").starts_with("HTTP/1.1 303"));
    assert!(served.get("/pair").contains("Pair this browser"));
    assert_eq!(served.end("-TERM"), Some(0));
}

#[test]
fn the_demo_ends_with_its_shop_opened() {
    let folder = Folder::new("served-demo");
    let served = Served::start(&folder, &["demo", "--to", "here", "--port", "0"]);
    assert!(served.said.contains("The cards are in here/cards"), "{}", served.said);
    let page = served.get("/orders/V-0031");
    assert!(page.contains("Proven"), "the demo's orders are programmed in its shop too");
    assert!(page.contains("/snapshots/"));
    assert_eq!(served.end("-INT"), Some(0));
    folder.run(&["demo", "--to", "here", "--no-serve"]).ends_with(0);
}

#[test]
fn a_port_that_is_taken_is_told() {
    let folder = Folder::new("served-twice");
    let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let ran = folder.run(&["--shop", "mine.backshop", "--port", &port]).ends_with(2);
    assert!(ran.talk().contains("something else listens there"), "{}", ran.talk());
}

#[test]
fn the_door_goes_with_no_command() {
    let folder = Folder::new("served-mixed");
    let ran = folder.run(&["--lan", "explain", "motor-not-isolated"]).ends_with(2);
    assert!(ran.talk().contains("--lan"), "{}", ran.talk());
    folder.run(&["--format", "json", "explain", "motor-not-isolated"]).ends_with(0).json();
}
