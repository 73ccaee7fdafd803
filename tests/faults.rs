//! What goes wrong around the program: full disks, odd names, links, pipes nobody reads, signals, files that are none.
//! What is asked for must then be there whole or not at all, and what was there before must be as it was.
#![cfg(target_os = "linux")]
#![allow(clippy::disallowed_methods, reason = "the clock says when to break something off, and is in no result")]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::fs;
use std::io::{Read as _, Write as _};
use std::os::unix::fs::{FileTypeExt as _, PermissionsExt as _, symlink};
use std::os::unix::process::ExitStatusExt as _;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Output, Stdio};
use std::time::{Duration, Instant};

const PROGRAM: &str = env!("CARGO_BIN_EXE_sumpwright");
const SITE: &str = "examples/cut-bank.toml";
const RAIN: &str = "examples/rain-2-months.csv";
/// What stands in a file before.
const MINE: &str = "mine, and not to be lost\n";

fn at_home(mut command: Command) -> Command {
    command.current_dir(env!("CARGO_MANIFEST_DIR")).env("NO_COLOR", "1");
    command
}

fn run(arguments: &[&str]) -> Output {
    at_home(Command::new(PROGRAM)).args(arguments).output().unwrap()
}

/// By a shell, where `$P` is the program.
fn shell(line: &str) -> Output {
    at_home(Command::new("sh")).args(["-c", line]).env("P", PROGRAM).output().unwrap()
}

/// The program running, whatever signals whoever runs the tests has had ignored.
fn start(more: &[&str], arguments: &[&str]) -> Child {
    at_home(Command::new("env"))
        .arg("--default-signal=INT,TERM,HUP")
        .args(more)
        .arg(PROGRAM)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Waits until the system has a signal among those that the program hears or ignores.
fn wait_for(child: &Child, list: &str, number: u32) {
    for _ in 0..4000 {
        let status = fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap();
        let bits = status.lines().find_map(|line| line.strip_prefix(list)).unwrap().trim().to_owned();
        if u64::from_str_radix(&bits, 16).unwrap() >> (number - 1) & 1 == 1 {
            return;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    panic!("{list} never has {number}");
}

fn send(signal: &str, child: &Child) {
    // it may have ended by itself
    let _ = Command::new("kill").args([&format!("-{signal}"), &child.id().to_string()]).stderr(Stdio::null()).status();
}

/// How it ended; a program that does not end is the fault looked for.
fn ended(child: &mut Child) -> ExitStatus {
    let begun = Instant::now();
    loop {
        if let Some(status) = child.try_wait().unwrap() {
            return status;
        }
        if begun.elapsed() > Duration::from_secs(60) {
            child.kill().unwrap();
            panic!("it does not end");
        }
        std::thread::sleep(Duration::from_millis(5));
    }
}

/// The code as a shell has it.
fn code(status: ExitStatus) -> i32 {
    status.code().unwrap_or_else(|| 128 + status.signal().unwrap())
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// An empty folder of one test.
fn folder(name: &str) -> PathBuf {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("faults-{name}"));
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(&path).unwrap();
    path
}

/// The names in a folder, in order.
fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

fn pipe(path: &Path) {
    assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
}

/// Every command that writes a file.
fn writers(file: &str) -> Vec<Vec<&str>> {
    vec![
        vec!["size", SITE, "--output", file],
        vec!["storm", SITE, "--output", file],
        vec!["reach", SITE, "--output", file],
        vec!["margins", SITE, "--no-sampling", "--output", file],
        vec!["takeoff", SITE, "--output", file],
        vec!["papers", SITE, "town", "--output", file],
        vec!["papers", "--blank", "--output", file],
        vec!["record", SITE, RAIN, "--output", file],
        vec!["options", SITE, "--output", file],
        vec!["options", SITE, "--save", file],
    ]
}

/// Refused with a plain sentence, without a panic and without a report.
fn refused(output: &Output, wanted: &str) {
    let said = err(output);
    assert_eq!(output.status.code(), Some(3), "{said}");
    assert!(said.starts_with("error: ") && said.contains(wanted), "wanted {wanted}: {said}");
    assert!(!said.contains("os error") && !said.contains("panicked"), "{said}");
    assert!(output.stdout.is_empty());
}

#[test]
fn identity_where_there_is_no_room_nothing_is_left_and_nothing_lost() {
    let folder = folder("room");
    let file = folder.join("report.txt");
    let name = file.to_str().unwrap();
    // a limit of the shell stands for a full disk; without the trap the signal would end the program, as below
    for arguments in writers(name) {
        let words = arguments.join(" ");
        refused(&shell(&format!("trap '' XFSZ; ulimit -f 0; exec $P {words}")), "no file may be so large here");
        assert_eq!(names(&folder), [""; 0], "{words}");
    }
    fs::write(&file, MINE).unwrap();
    for limit in ["trap '' XFSZ; ulimit -f 0", "ulimit -c 0; ulimit -f 0"] {
        let output = shell(&format!("{limit}; exec $P size {SITE} --output {name} --force"));
        assert!(!output.status.success());
        assert_eq!(fs::read_to_string(&file).unwrap(), MINE);
    }
}

#[test]
fn identity_papers_that_do_not_all_find_room_are_not_written_at_all() {
    let folder = folder("room-papers");
    let new = folder.join("new");
    let old = folder.join("old");
    let all = |at: &Path, blocks: u32, more: &str| {
        shell(&format!("trap '' XFSZ; ulimit -f {blocks}; exec $P papers {SITE} --all {} {more}", at.display()))
    };
    assert_eq!(run(&["papers", SITE, "--all", old.to_str().unwrap()]).status.code(), Some(0));
    let sizes: Vec<u64> = names(&old).iter().map(|name| fs::metadata(old.join(name)).unwrap().len()).collect();
    // blocks of 512 bytes: the smallest page fits and the largest does not
    let blocks = u32::try_from((sizes.iter().min().unwrap() + sizes.iter().max().unwrap()) / 2 / 512).unwrap();
    for name in names(&old) {
        fs::write(old.join(name), MINE).unwrap();
    }
    let there = names(&old);
    refused(&all(&old, blocks, "--force"), "no file may be so large here");
    assert_eq!(names(&old), there);
    assert!(there.iter().all(|name| fs::read_to_string(old.join(name)).unwrap() == MINE));
    refused(&all(&new, blocks, ""), "no file may be so large here");
    assert!(!new.exists(), "the folder was made for nothing");
    // one of them is there: none is written
    fs::create_dir(&new).unwrap();
    fs::write(new.join("town.html"), MINE).unwrap();
    refused(&run(&["papers", SITE, "--all", new.to_str().unwrap()]), "is there already");
    assert_eq!(names(&new), ["town.html"]);
    // a file, and a link that leads nowhere, are no folders
    symlink("nowhere", folder.join("link")).unwrap();
    for name in ["old/town.html", "link"] {
        refused(&run(&["papers", SITE, "--all", folder.join(name).to_str().unwrap()]), "there is a file of that name");
    }
}

#[test]
fn identity_a_screen_that_takes_nothing_is_said() {
    for words in ["--help", "tables pipes", "size SITE", "storm SITE", "papers SITE town", "record SITE RAIN"] {
        let words = words.replace("SITE", SITE).replace("RAIN", RAIN);
        refused(
            &shell(&format!("exec $P {words} >/dev/full")),
            "the report could not be written: there is no room left",
        );
    }
    // what cannot be said is not said, and the code stays
    let output = shell("exec $P size examples/not-there.toml 2>/dev/full");
    assert_eq!((output.status.code(), output.stdout.len()), (Some(3), 0));
}

#[test]
fn identity_a_reader_who_goes_away_is_no_error_of_any_command() {
    let commands = [
        vec!["--help"],
        vec!["tables", "pipes"],
        vec!["check", SITE],
        vec!["size", SITE, "--format", "html"],
        vec!["storm", SITE, "--format", "csv"],
        vec!["reach", SITE],
        vec!["margins", SITE, "--no-sampling"],
        vec!["takeoff", SITE],
        vec!["papers", SITE, "town"],
        vec!["record", SITE, RAIN],
        vec!["options", SITE, "--format", "csv"],
    ];
    for arguments in commands {
        let mut child = start(&[], &arguments);
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!((output.status.code(), err(&output)), (Some(0), String::new()), "{arguments:?}");
    }
    // the verdict is not lost with the reader
    let mut child = start(&[], &["size", "examples/long-run.toml"]);
    drop(child.stdout.take());
    assert_eq!(child.wait().unwrap().code(), Some(1));
    // closed from the start
    let output = shell(&format!("exec $P size {SITE} >&- 2>&- <&-"));
    assert_eq!(output.status.code(), Some(0));
}

#[test]
fn identity_names_that_are_no_files_are_refused_plainly() {
    let folder = folder("names");
    fs::write(folder.join("file"), MINE).unwrap();
    symlink("nowhere", folder.join("dangling")).unwrap();
    symlink("turning", folder.join("turning")).unwrap();
    symlink(".", folder.join("to-folder")).unwrap();
    let long = "n".repeat(300);
    let before = names(&folder);
    let cases = [
        (".", "is a directory"),
        ("..", "is a directory"),
        ("to-folder", "is a directory"),
        ("new/", "is a directory"),
        ("new/.", "is a directory"),
        ("to-folder/..", "is a directory"),
        ("dangling", "is a link that leads nowhere"),
        ("turning", "is a link that leads nowhere"),
        ("none/report.txt", "there is no such folder"),
        ("file/report.txt", "a part of its path is no folder"),
        (long.as_str(), "the name is too long"),
    ];
    for (name, wanted) in cases {
        let path = format!("{}/{name}", folder.display());
        for force in [&["--force"][..], &[]] {
            refused(&run(&[&["size", SITE, "--output", &path][..], force].concat()), wanted);
        }
    }
    // nobody, not even who may do everything, writes there
    for path in ["/sys/sumpwright.txt", "/proc/sumpwright.txt"] {
        refused(&run(&["size", SITE, "--output", path]), "could not be written");
    }
    let output = run(&["size", SITE, "--output", ""]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(names(&folder), before);
    assert_eq!(fs::read_to_string(folder.join("file")).unwrap(), MINE);
    // the longest name there is
    let longest = folder.join("n".repeat(255));
    assert_eq!(run(&["size", SITE, "--output", longest.to_str().unwrap()]).status.code(), Some(0));
    assert!(fs::metadata(longest).unwrap().len() > 1000);
}

#[test]
fn identity_before_hours_of_work_every_command_looks_where_its_file_goes() {
    let folder = folder("before");
    let none = folder.join("none/report.txt");
    // were the site read first, that it is not there would be said
    for mut arguments in writers(none.to_str().unwrap()) {
        if let Some(at) = arguments.iter().position(|word| *word == SITE) {
            arguments[at] = "examples/not-there.toml";
            refused(&run(&arguments), "there is no such folder");
        }
    }
}

#[test]
fn identity_a_link_is_followed_to_its_file_and_stays_a_link() {
    let folder = folder("links");
    let (file, link) = (folder.join("far/report.txt"), folder.join("link.txt"));
    fs::create_dir(folder.join("far")).unwrap();
    fs::write(&file, MINE).unwrap();
    fs::set_permissions(&file, fs::Permissions::from_mode(0o600)).unwrap();
    symlink("far/report.txt", &link).unwrap();
    let name = link.to_str().unwrap();
    for arguments in writers(name) {
        refused(&run(&arguments), "is there already: write `--force`");
        assert_eq!(fs::read_to_string(&file).unwrap(), MINE);
    }
    assert_eq!(run(&["size", SITE, "--output", name, "--force"]).status.code(), Some(0));
    assert_eq!(fs::read(&file).unwrap(), run(&["size", SITE]).stdout);
    assert!(link.symlink_metadata().unwrap().is_symlink());
    // what others might not read they still may not
    assert_eq!(fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o600);
    assert_eq!(
        (names(&folder), names(&folder.join("far"))),
        (vec!["far".to_owned(), "link.txt".to_owned()], vec!["report.txt".to_owned()])
    );
}

#[test]
fn identity_devices_and_pipes_are_written_into_and_never_replaced() {
    let folder = folder("devices");
    let null = folder.join("null");
    symlink("/dev/null", &null).unwrap();
    for force in [&["--force"][..], &[]] {
        for name in ["/dev/null", null.to_str().unwrap()] {
            assert_eq!(run(&[&["size", SITE, "--output", name][..], force].concat()).status.code(), Some(0));
        }
        refused(&run(&[&["size", SITE, "--output", "/dev/full"][..], force].concat()), "there is no room left");
    }
    for device in ["/dev/null", "/dev/full"] {
        assert!(fs::symlink_metadata(device).unwrap().file_type().is_char_device(), "{device} was replaced");
    }
    assert!(null.symlink_metadata().unwrap().is_symlink());
    let fifo = folder.join("pipe");
    pipe(&fifo);
    let mut child = start(&[], &["size", SITE, "--output", fifo.to_str().unwrap()]);
    let read = fs::read(&fifo).unwrap();
    assert_eq!(ended(&mut child).code(), Some(0));
    assert_eq!(read, run(&["size", SITE]).stdout);
    assert!(fs::symlink_metadata(&fifo).unwrap().file_type().is_fifo());
    // whoever waits for a reader can be told to stop
    let mut child = start(&[], &["size", SITE, "--output", fifo.to_str().unwrap()]);
    wait_for(&child, "SigCgt:", 2);
    send("INT", &child);
    assert_eq!(code(ended(&mut child)), 130);
    // a socket takes no text
    let socket = folder.join("socket");
    let _listener = std::os::unix::net::UnixListener::bind(&socket).unwrap();
    refused(
        &run(&["size", SITE, "--output", socket.to_str().unwrap(), "--force"]),
        "is no file that a text is written into",
    );
    assert_eq!(names(&folder), ["null", "pipe", "socket"]);
}

#[test]
fn identity_what_is_read_is_not_written_over() {
    let folder = folder("own");
    let path = |name: &str| folder.join(name).to_str().unwrap().to_owned();
    fs::copy(SITE, path("yard.toml")).unwrap();
    fs::copy(RAIN, path("rain.csv")).unwrap();
    fs::write(path("prices.toml"), "[takeoff]\nlabor_rate = \"60 per hour\"\n").unwrap();
    symlink("yard.toml", path("link.toml")).unwrap();
    let before = |name: &str| fs::read(path(name)).unwrap();
    let kept = (before("yard.toml"), before("rain.csv"), before("prices.toml"));
    let (yard, rain, prices) = (path("yard.toml"), path("rain.csv"), path("prices.toml"));
    let other_way = path("../faults-own/link.toml");
    for (arguments, over) in [
        (vec!["size", &yard], &yard),
        (vec!["size", &yard], &other_way),
        (vec!["storm", &other_way], &yard),
        (vec!["reach", &yard], &yard),
        (vec!["margins", &yard], &yard),
        (vec!["takeoff", &yard], &yard),
        (vec!["takeoff", &yard, "--prices", &prices], &prices),
        (vec!["papers", &yard, "town"], &yard),
        (vec!["options", &yard], &yard),
        (vec!["record", &yard, &rain], &yard),
        (vec!["record", &yard, &rain], &rain),
    ] {
        let output = run(&[&arguments[..], &["--output", over, "--force"]].concat());
        refused(&output, "is what is read here");
    }
    assert_eq!((before("yard.toml"), before("rain.csv"), before("prices.toml")), kept);
    // a set may be saved into its own site file, when that is asked for
    refused(&run(&["options", &yard, "--save", &yard]), "is there already");
    assert_eq!(run(&["options", &yard, "--save", &yard, "--force"]).status.code(), Some(0));
    assert_eq!(run(&["size", &yard]).status.code(), Some(0));
    // one file by two names
    let (one, two) = (path("one.toml"), path("../faults-own/one.toml"));
    let output = run(&["options", SITE, "--save", &one, "--output", &two, "--force"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("name the same file") && !Path::new(&one).exists());
    // nor is a dash a file
    assert!(run(&["record", SITE, RAIN, "--output", "-"]).stdout.starts_with(b"Lower lawn"));
    assert!(!Path::new(env!("CARGO_MANIFEST_DIR")).join("-").exists());
}

#[test]
fn identity_killed_at_any_moment_old_files_are_whole_or_new_ones_are() {
    let folder = folder("killed");
    let name = folder.to_str().unwrap();
    let arguments = ["papers", SITE, "--all", name, "--force"];
    let begun = Instant::now();
    assert_eq!(ended(&mut start(&[], &arguments)).code(), Some(0));
    let whole_run = begun.elapsed();
    let new: Vec<(String, Vec<u8>)> =
        names(&folder).into_iter().map(|name| (name.clone(), fs::read(folder.join(name)).unwrap())).collect();
    let (mut broken_off, mut while_writing) = (0, 0);
    for number in 0_u32..45 {
        for (name, _) in &new {
            fs::write(folder.join(name), MINE).unwrap();
        }
        let signal = ["KILL", "TERM", "INT"][number as usize % 3];
        let mut child = start(&[], &arguments);
        // moments that lie evenly, as multiples of the golden section do: in the whole run, or from the first file on
        let moment = (f64::from(number) * 0.618_034).fract();
        if number < 9 {
            std::thread::sleep(whole_run.mul_f64(moment));
        } else {
            while child.try_wait().unwrap().is_none() && names(&folder).len() == new.len() {}
            std::thread::sleep(Duration::from_millis(12).mul_f64(moment * moment * moment * moment));
        }
        match signal {
            "KILL" => child.kill().unwrap(),
            _ => send(signal, &child),
        }
        let status = ended(&mut child);
        let mut said = String::new();
        child.stderr.take().unwrap().read_to_string(&mut said).unwrap();
        broken_off += u32::from(!status.success());
        let is_new: Vec<bool> = new
            .iter()
            .map(|(name, text)| {
                let there = fs::read(folder.join(name)).unwrap();
                assert!(there == *text || there == MINE.as_bytes(), "{name} is neither old nor new after {signal}");
                there == *text
            })
            .collect();
        if signal == "KILL" {
            // nobody is left who could take the unfinished ones away
            let left: Vec<String> = names(&folder).into_iter().filter(|name| name.starts_with('.')).collect();
            while_writing += u32::from(!left.is_empty());
            for name in left {
                fs::remove_file(folder.join(name)).unwrap();
            }
            continue;
        }
        while_writing += u32::from(code(status) == 130 && said.contains("nothing was written"));
        let wanted = if signal == "INT" { 130 } else { 143 };
        // before there is a file, by the signal; while there is one, as interrupted
        assert!(matches!(code(status), 0 | 130) || code(status) == wanted, "{signal}: {status:?}");
        assert_eq!(names(&folder).len(), new.len(), "left behind after {signal}: {:?}", names(&folder));
        assert!(is_new.iter().all(|is| *is == is_new[0]), "old and new papers together after {signal}");
        assert!(!status.success() || is_new[0]);
    }
    assert!(broken_off >= 3 && while_writing >= 1, "{broken_off}, {while_writing} of them while writing");
}

#[test]
fn identity_long_questions_that_are_broken_off_leave_nothing() {
    let folder = folder("broken-off");
    let file = folder.join("report.txt");
    let name = file.to_str().unwrap();
    let questions = [
        vec!["margins", SITE, "--runs", "10000", "--output", name],
        vec!["options", SITE, "--years", "20", "--output", name],
    ];
    for arguments in questions {
        for (signal, wanted) in [("INT", 130), ("TERM", 143)] {
            let mut child = start(&[], &arguments);
            std::thread::sleep(Duration::from_millis(60));
            send(signal, &child);
            let status = ended(&mut child);
            let mut said = String::new();
            child.stderr.take().unwrap().read_to_string(&mut said).unwrap();
            if status.success() {
                // quicker than the signal
                fs::remove_file(&file).unwrap();
            } else {
                assert!([wanted, 130].contains(&code(status)), "{arguments:?}: {status:?} {said}");
            }
            assert_eq!(names(&folder), [""; 0], "{arguments:?}");
        }
    }
    // a record that waits for rows ends for each of the signals, and says so
    for signal in ["INT", "TERM", "HUP"] {
        let mut child = start(&[], &["record", SITE, "-", "--output", name]);
        let mut input = child.stdin.take().unwrap();
        input.write_all(b"time,rain_in\n2031-04-01 00:05,0\n").unwrap();
        wait_for(&child, "SigCgt:", 2);
        send(signal, &child);
        let status = ended(&mut child);
        let mut said = String::new();
        child.stderr.take().unwrap().read_to_string(&mut said).unwrap();
        assert_eq!(
            (status.code(), said.as_str()),
            (Some(130), "interrupted before the first rain was followed; nothing was written\n"),
            "{signal}"
        );
        assert_eq!(names(&folder), [""; 0]);
    }
}

#[test]
fn identity_a_run_that_is_to_outlive_its_terminal_does() {
    // as `nohup` starts it
    let mut child = start(&["env", "--ignore-signal=HUP"], &["record", SITE, "-"]);
    let text = fs::read(RAIN).unwrap();
    let mut input = child.stdin.take().unwrap();
    let reading = child.stdout.take().unwrap();
    let reader = std::thread::spawn(move || {
        let mut said = Vec::new();
        let mut reading = reading;
        reading.read_to_end(&mut said).unwrap();
        said
    });
    input.write_all(&text[..text.len() / 2]).unwrap();
    wait_for(&child, "SigIgn:", 1);
    std::thread::sleep(Duration::from_millis(300));
    send("HUP", &child);
    std::thread::sleep(Duration::from_millis(100));
    input.write_all(&text[text.len() / 2..]).unwrap();
    drop(input);
    assert_eq!(ended(&mut child).code(), Some(0));
    assert_eq!(reader.join().unwrap(), run(&["record", SITE, RAIN]).stdout);
}

#[test]
fn identity_endless_files_are_given_up_in_little_memory() {
    let folder = folder("endless");
    let site = fs::read_to_string(SITE).unwrap();
    fs::write(folder.join("yard.toml"), rain_from(&site, "/dev/zero")).unwrap();
    let yard = folder.join("yard.toml");
    for (words, wanted) in [
        ("size /dev/zero".to_owned(), "is larger than 256 kB"),
        ("check /dev/urandom".to_owned(), "is larger than 256 kB"),
        (format!("takeoff {SITE} --prices /dev/zero"), "is larger than 256 kB"),
        (format!("record {SITE} /dev/zero"), "this is not text"),
        (format!("size {}", yard.display()), "it is a pipe or a device, not a file"),
        // a line without an end
        (format!("record {SITE} - </dev/zero"), "this is not text"),
    ] {
        let output = shell(&format!("ulimit -v 400000; exec timeout 30 $P {words}"));
        assert_eq!(output.status.code(), Some(2), "{words}: {}", err(&output));
        assert!(err(&output).contains(wanted), "{words}: {}", err(&output));
    }
    let line = "ulimit -v 400000; { echo time,rain_in; yes | tr -d '\\n'; } | exec timeout 30 $P record SITE -"
        .replace("SITE", SITE);
    let output = shell(&line);
    assert_eq!(output.status.code(), Some(2), "{}", err(&output));
    assert!(err(&output).len() < 400, "{}", err(&output));
}

/// The example with the rain of a file.
fn rain_from(site: &str, file: &str) -> String {
    let (start, end) = (site.find("[rain]").unwrap(), site.find("[soil]").unwrap());
    format!("{}[rain]\nfile = \"{file}\"\n\n{}", &site[..start], &site[end..])
}

#[test]
fn identity_a_file_named_by_a_site_file_is_neither_waited_for_nor_shown() {
    let folder = folder("named");
    let site = fs::read_to_string(SITE).unwrap();
    let yard = folder.join("yard.toml");
    pipe(&folder.join("pipe.csv"));
    fs::create_dir(folder.join("folder.csv")).unwrap();
    let point = fs::read_to_string("tests/data/atlas14-champaign-il.csv").unwrap();
    let secret = "hunter2-".repeat(40);
    // a file that begins as it should and goes on with what is nobody's business
    let (row, period) = (point.find("5-min:,").unwrap() + 7, point.find("by duration for").unwrap());
    let row_end = row + point[row..].find(',').unwrap();
    let head = period + point[period..].find(',').unwrap() + 1;
    let head_end = head + point[head..].find(',').unwrap();
    fs::write(folder.join("cell.csv"), format!("{}{secret}{}", &point[..row], &point[row_end..])).unwrap();
    fs::write(folder.join("head.csv"), format!("{}{secret}{}", &point[..head], &point[head_end..])).unwrap();
    fs::write(folder.join("row.csv"), point.replacen("5-min:", &secret, 1)).unwrap();
    fs::write(folder.join("binary.csv"), b"\xff\xd8\xff\0\0").unwrap();
    fs::write(folder.join("mail"), format!("user:{secret}:0:0:\n").repeat(20)).unwrap();
    for (file, wanted) in [
        ("pipe.csv", "it is a pipe or a device, not a file"),
        ("folder.csv", "it is a directory"),
        ("none.csv", "there is no such file"),
        ("cell.csv", "is not a number above zero"),
        ("head.csv", "is not a return period"),
        ("row.csv", "is not a duration"),
        ("binary.csv", "is not as the weather service sends it"),
        ("../faults-named/mail", "is not as the weather service sends it"),
        ("/etc/passwd", "is not as the weather service sends it"),
        ("/proc/self/mem", "cannot be read"),
        ("", "cannot be read"),
    ] {
        fs::write(&yard, rain_from(&site, file)).unwrap();
        let mut child = start(&[], &["size", yard.to_str().unwrap()]);
        let status = ended(&mut child);
        let mut said = String::new();
        child.stderr.take().unwrap().read_to_string(&mut said).unwrap();
        assert_eq!(status.code(), Some(2), "{file}: {said}");
        let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(wanted), "{file}: {said}");
        for leaked in ["hunter2-hunter2-hunter2-h", "user:", "root:", "/bin/"] {
            assert!(!said.contains(leaked), "{file}: {said}");
        }
    }
}

#[test]
fn identity_a_site_file_may_come_through_a_pipe_and_is_waited_for_until_told_otherwise() {
    let folder = folder("site-pipe");
    let fifo = folder.join("yard.toml");
    pipe(&fifo);
    let name = fifo.to_str().unwrap();
    let mut child = start(&[], &["size", name]);
    fs::write(&fifo, fs::read(SITE).unwrap()).unwrap();
    let output = child.stdout.take().unwrap();
    let read: Vec<u8> = std::io::BufReader::new(output).bytes().map(Result::unwrap).collect();
    assert_eq!(ended(&mut child).code(), Some(0));
    assert_eq!(read, run(&["size", SITE]).stdout);
    // as every program that reads does, it waits for whoever is going to write; a key ends it
    for arguments in [vec!["size", name], vec!["record", SITE, name]] {
        let mut child = start(&[], &arguments);
        std::thread::sleep(Duration::from_millis(400));
        assert!(child.try_wait().unwrap().is_none());
        send("INT", &child);
        assert_eq!(code(ended(&mut child)), 130);
    }
}

#[test]
fn identity_what_may_not_be_read_or_written_is_said() {
    let folder = folder("permission");
    let (site, closed) = (folder.join("yard.toml"), folder.join("closed"));
    fs::copy(SITE, &site).unwrap();
    fs::create_dir(&closed).unwrap();
    fs::set_permissions(&site, fs::Permissions::from_mode(0o000)).unwrap();
    fs::set_permissions(&closed, fs::Permissions::from_mode(0o555)).unwrap();
    let output = closed.join("report.txt");
    let read = ["size", site.to_str().unwrap()];
    let write = ["papers", "--blank", "--output", output.to_str().unwrap()];
    // whoever may do everything is not refused: as somebody else then, where there is the means and a way to the program
    let as_other = |arguments: &[&str]| {
        let mut command = at_home(Command::new("setpriv"));
        command.args(["--reuid=65534", "--regid=65534", "--clear-groups", PROGRAM]).args(arguments).output().ok()
    };
    let may_all = fs::File::open(&site).is_ok();
    let someone = |arguments: &[&str]| if may_all { as_other(arguments) } else { Some(run(arguments)) };
    if someone(&["tables"]).is_some_and(|output| output.status.success()) {
        refused(&someone(&read).unwrap(), "permission is denied");
        refused(&someone(&write).unwrap(), "permission is denied");
    }
    assert_eq!(names(&closed), [""; 0]);
    fs::set_permissions(&closed, fs::Permissions::from_mode(0o755)).unwrap();
}
