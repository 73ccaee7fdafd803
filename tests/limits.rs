//! What a file from somebody else can make the program do: the limits of `docs/limits.md`, each tried.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use sumpwright::site::{Files, LARGEST, NoFiles, Problem, Reading, price_list, read};

const GOOD: &str = include_str!("site_reading/good.toml");
const PAGE: &str = include_str!("../docs/limits.md");

/// The good file with some of its text replaced.
fn with(from: &str, to: &str) -> String {
    assert!(GOOD.contains(from), "`{from}` is not in the file");
    GOOD.replacen(from, to, 1)
}

fn errors(reading: &Reading) -> Vec<&Problem> {
    reading.problems.iter().filter(|problem| problem.is_error()).collect()
}

/// One too many of something: refused, with the number that is read, which the page says as well.
fn too_many(text: &str, what: &str, most: usize) {
    let reading = read(text, &NoFiles);
    assert!(reading.site.is_none(), "{what}: a site");
    let message = format!("{} {what}, more than the {most} that are read", most + 1);
    let said: Vec<&str> = errors(&reading).iter().map(|problem| problem.message.as_str()).collect();
    assert!(said.iter().any(|said| said.contains(&message)), "{message}: {said:?}");
    let row =
        PAGE.lines().any(|line| line.starts_with(&format!("| {what} |")) && line.contains(&format!("| {most} |")));
    assert!(row, "the page does not say `{what}`, {most}");
}

/// So many lines, each by its number.
fn lines(count: usize, line: impl Fn(usize) -> String) -> String {
    (0..count).map(line).collect()
}

#[test]
fn identity_one_too_many_of_anything_is_refused_with_the_number_that_is_read() {
    let more = |count: usize, part: &dyn Fn(usize) -> String| format!("{GOOD}{}", lines(count, part));
    // the good file has two catchments, one low spot, one inlet, two drains, one inflow, one pump, one place to protect
    too_many(
        &more(199, &|n| format!("\n[[catchment]]\nname = \"c{n}\"\narea = \"9 ft2\"\nrunoff_coefficient = 0.9\n")),
        "catchments",
        200,
    );
    too_many(&more(100, &|n| format!("\n[[inlet]]\nname = \"i{n}\"\nrim = \"96 ft\"\n")), "inlets", 100);
    too_many(
        &more(99, &|n| format!("\n[[drain]]\nname = \"d{n}\"\nto = \"basin\"\nlength = \"4 ft\"\n")),
        "drains",
        100,
    );
    let surface = "surface = [[\"96.0 ft\", \"0 ft2\"], [\"96.5 ft\", \"800 ft2\"]]";
    too_many(&more(100, &|n| format!("\n[[low_spot]]\nname = \"s{n}\"\n{surface}\n")), "low spots", 100);
    too_many(&more(100, &|n| format!("\n[[inflow]]\nname = \"f{n}\"\nflow = \"0.1 gpm\"\n")), "inflows", 100);
    too_many(&more(200, &|n| format!("\n[[protect]]\nname = \"p{n}\"\nlevel = \"97 ft\"\n")), "places to protect", 200);
    let pump = "curve = [[\"0 gpm\", \"31 ft\"], [\"60 gpm\", \"10 ft\"]]";
    too_many(&more(100, &|n| format!("\n[[pump]]\nname = \"p{n}\"\n{pump}\n")), "pumps", 100);
    let run = "material = \"PVC schedule 40\"\nsize = \"2 in\"\nlength = \"1 ft\"";
    too_many(&more(100, &|_| format!("\n[[discharge.run]]\n{run}\n")), "runs of the discharge line", 100);
}

#[test]
fn identity_one_too_many_in_a_list_is_refused_with_the_number_that_is_read() {
    let list = |count: usize, one: &dyn Fn(usize) -> String| (0..count).map(one).collect::<Vec<_>>().join(", ");
    let piece = list(201, &|_| "{ sheet = \"0.2 ft\", slope = \"2 %\", surface = \"dense grass\" }".to_owned());
    let path = "flow_path = [{ sheet = \"60 ft\", slope = \"2 %\", surface = \"dense grass\" }]";
    too_many(&with(path, &format!("flow_path = [{piece}]")), "pieces of the flow path", 200);
    let pair = list(201, &|n| format!("[\"{:.3} ft\", \"{n} ft2\"]", 96.0 + n as f64 / 400.0));
    let surface = "surface = [[\"96.0 ft\", \"0 ft2\"], [\"96.25 ft\", \"420 ft2\"], [\"96.5 ft\", \"1300 ft2\"]]";
    too_many(&with(surface, &format!("surface = [{pair}]")), "pairs of level and area", 200);
    let point = list(201, &|n| format!("[\"{} gpm\", \"{:.3} ft\"]", n, 31.0 - n as f64 / 10.0));
    let curve =
        "curve = [[\"0 gpm\", \"31 ft\"], [\"20 gpm\", \"27 ft\"], [\"20.5 ft\", \"40 gpm\"], [\"60 gpm\", \"10 ft\"]]";
    too_many(&with(curve, &format!("curve = [{point}]")), "points of the curve", 200);
    let setup = list(201, &|n| format!("{{ name = \"s{n}\", benchmark = \"100 ft\", rod_on_benchmark = \"4 ft\" }}"));
    let setups = "setups = [{ name = \"front\", benchmark = \"100.00 ft\", rod_on_benchmark = \"4.20 ft\" }]";
    too_many(&with(setups, &format!("setups = [{setup}]")), "setups of the instrument", 200);
    let fitting = list(201, &|n| format!("\"own {n}\" = {{ count = 1, k = 0.1 }}"));
    let fittings = "fittings = { \"elbow 90\" = 2, \"elbow 45\" = { count = 2, k = 0.3 }, \"union\" = 1 }";
    too_many(&with(fittings, &format!("fittings = {{ {fitting} }}")), "kinds of fittings in one run", 200);
    let vent = list(101, &|n| format!("{{ at = \"{n} ft\" }}"));
    let riser = "[discharge]\n";
    too_many(&with(riser, &format!("{riser}vent = [{vent}]\n")), "vents", 100);
    let point = list(1001, &|n| format!("{{ at = \"{:.2} ft\", invert = \"96 ft\" }}", n as f64 / 8.0));
    let from = GOOD.find("profile = [").unwrap();
    let to = from + GOOD[from..].find("\n]").unwrap() + 2;
    too_many(&format!("{}profile = [{point}]{}", &GOOD[..from], &GOOD[to..]), "points of the profile", 1000);
}

#[test]
fn identity_one_too_many_in_the_rain_is_refused_with_the_number_that_is_read() {
    let period =
        |n: usize| format!("[rain.depth.\"{}.5 yr\"]\n\"5 min\" = \"0.55 in\"\n\"60 min\" = \"1.87 in\"\n", n + 30);
    let table = "[rain.depth.\"2.5 yr\"]";
    // beside the two that are there
    too_many(&with(table, &format!("{}{table}", lines(19, period))), "return periods", 20);
    let duration = |n: usize| format!("\"{} s\" = \"{:.4} in\"\n", 400 + n, 0.56 + n as f64 / 10_000.0);
    let first = "\"5 min\" = \"0.40 in\"\n";
    too_many(&with(first, &format!("{first}{}", lines(198, duration))), "durations for one return period", 200);
}

/// A text under whatever path.
struct Text(String);

impl Files for Text {
    fn read(&self, _path: &str) -> Result<String, String> {
        Ok(self.0.clone())
    }
}

/// The good file with its rain from a file.
fn by_file() -> String {
    let (from, to) = (GOOD.find("[rain]").unwrap(), GOOD.find("[soil]").unwrap());
    format!("{}[rain]\nfile = \"rain.csv\"\n\n{}", &GOOD[..from], &GOOD[to..])
}

/// The weather service's file with one row and one heading replaced.
fn rain(row: &str, heading: &str) -> Text {
    let text =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/atlas14-champaign-il.csv")).unwrap();
    let replaced: Vec<String> = text
        .lines()
        .map(|line| match line {
            line if !row.is_empty() && line.starts_with("60-day") => row.to_owned(),
            line if !heading.is_empty() && line.contains("by duration for") => heading.to_owned(),
            line => line.to_owned(),
        })
        .collect();
    Text(replaced.join("\n"))
}

#[test]
fn identity_a_rain_file_with_figures_that_no_place_has_is_refused() {
    let text = by_file();
    assert!(read(&text, &rain("", "")).site.is_some(), "the file itself is good");
    let values = |value: &str| [value; 10].join(",");
    for (row, said) in [
        (format!("600-day:,{}", values("60")), "has a duration of"),
        (format!("1e306-day:,{}", values("40")), "is not a duration"),
        (format!("60-day:,{}", values("1e999")), "is not a number above zero"),
    ] {
        let reading = read(&text, &rain(&row, ""));
        let errors = errors(&reading);
        assert!(errors.iter().any(|problem| problem.message.contains(said)), "{said}: {errors:?}");
    }
    // fifty times as much rain
    let wet = rain("", "").0;
    let wet: Vec<String> = wet
        .lines()
        .map(|line| match line.split_once(':') {
            Some((name, values)) if ["-min", "-hr", "-day"].iter().any(|end| name.ends_with(end)) => {
                let values = values.split(',').filter_map(|value| value.trim().parse::<f64>().ok());
                let values: Vec<String> = values.map(|value| format!("{}", value * 50.0)).collect();
                format!("{name}:,{}", values.join(","))
            }
            _ => line.to_owned(),
        })
        .collect();
    let reading = read(&text, &Text(wet.join("\n")));
    assert!(
        errors(&reading).iter().any(|problem| problem.message.contains("has a depth of")),
        "{:?}",
        reading.problems
    );
    // twice as many columns as the file has
    let wide = rain("", "").0;
    let wide: Vec<String> = wide
        .lines()
        .map(|line| {
            if line.contains("by duration for") {
                let more: Vec<String> = (0..11).map(|n| format!("{}", 1001 + n)).collect();
                format!("{},{}", line.trim_end_matches([',', ' ']), more.join(","))
            } else if line.contains("-min:") || line.contains("-hr:") || line.contains("-day:") {
                let last = line.trim_end_matches([',', ' ']).rsplit(',').next().unwrap();
                format!("{},{}", line.trim_end_matches([',', ' ']), [last; 11].join(","))
            } else {
                line.to_owned()
            }
        })
        .collect();
    let reading = read(&text, &Text(wide.join("\n")));
    let message = "21 return periods, more than the 20 that are read";
    assert!(errors(&reading).iter().any(|problem| problem.message.contains(message)), "{:?}", reading.problems);
}

#[test]
fn identity_a_message_about_a_rain_file_is_short_whatever_its_cells_hold() {
    let long = "x".repeat(100_000);
    for (row, heading) in [
        (format!("{long},1,2"), String::new()),
        (format!("60-day:,{long},2,3,4,5,6,7,8,9,10"), String::new()),
        (String::new(), format!("by duration for ARI (years):, 1,{long}")),
    ] {
        let reading = read(&by_file(), &rain(&row, &heading));
        let errors = errors(&reading);
        assert!(!errors.is_empty());
        for problem in errors {
            assert!(problem.message.len() < 400, "{} letters", problem.message.len());
        }
    }
}

#[test]
fn identity_a_text_larger_than_any_site_file_is_refused() {
    let long = format!("{GOOD}# {}", "x".repeat(LARGEST));
    let reading = read(&long, &NoFiles);
    assert!(reading.site.is_none());
    assert_eq!(reading.problems.len(), 1);
    assert!(reading.problems[0].message.contains("larger than 256 kB"), "{:?}", reading.problems);
    assert!(price_list(&long, sumpwright::quantity::UnitSystem::Us).problems[0].message.contains("larger than 256 kB"));
    // one byte less is read
    let fits = format!("{GOOD}# {}", "x".repeat(LARGEST - GOOD.len() - 2));
    assert_eq!(fits.len(), LARGEST);
    assert!(read(&fits, &NoFiles).site.is_some());
    assert!(LARGEST == 256 * 1024 && PAGE.contains("256 kB"));
}

fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sumpwright"));
    command.current_dir(env!("CARGO_MANIFEST_DIR")).env("NO_COLOR", "1");
    command
}

/// A folder of this test run with a site file in it.
fn folder(name: &str, site: &str) -> (PathBuf, PathBuf) {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let path = folder.join("yard.toml");
    fs::write(&path, site).unwrap();
    (folder, path)
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn identity_the_only_file_that_a_site_file_names_is_read_beside_it() {
    let (folder, path) = folder("limits-beside", &by_file());
    let check = || program().arg("check").arg(&path).output().unwrap();
    assert!(said(&check()).contains("there is no such file"), "{}", said(&check()));
    fs::write(folder.join("rain.csv"), rain("", "").0).unwrap();
    assert_eq!(check().status.code(), Some(0), "{}", said(&check()));
    fs::write(folder.join("rain.csv"), vec![b'1'; LARGEST + 1]).unwrap();
    assert!(said(&check()).contains("it is larger than 256 kB"), "{}", said(&check()));
    fs::remove_file(folder.join("rain.csv")).unwrap();
    fs::create_dir(folder.join("rain.csv")).unwrap();
    assert!(said(&check()).contains("it is a directory"), "{}", said(&check()));
}

#[test]
fn identity_no_pipe_device_or_other_machine_is_read_for_rain() {
    for (index, name, why) in [
        (0, "/dev/zero", "a pipe or a device"),
        (1, "pipe", "a pipe or a device"),
        (2, "//elsewhere/share/rain.csv", "on another machine"),
        (3, "\\\\\\\\elsewhere\\\\share\\\\rain.csv", "on another machine"),
    ] {
        if cfg!(not(unix)) && index < 2 {
            continue;
        }
        let site = by_file().replace("file = \"rain.csv\"", &format!("file = \"{name}\""));
        let (folder, path) = folder(&format!("limits-odd-{index}"), &site);
        if name == "pipe" {
            assert!(Command::new("mkfifo").arg(folder.join(name)).status().unwrap().success());
        }
        let output = program().arg("check").arg(&path).output().unwrap();
        assert_eq!(output.status.code(), Some(2));
        assert!(said(&output).contains(why), "{name}: {}", said(&output));
    }
}

/// Texts as large as are read, made to cost as much as they can.
fn costly() -> Vec<(&'static str, String)> {
    let filled = |start: &str, piece: &str| {
        let count = (LARGEST - start.len()) / piece.len();
        format!("{start}{}", piece.repeat(count))
    };
    let numbered = |start: &str, piece: &dyn Fn(usize) -> String| {
        let mut text = start.to_owned();
        for n in 0.. {
            let piece = piece(n);
            if text.len() + piece.len() > LARGEST {
                break;
            }
            text.push_str(&piece);
        }
        text
    };
    vec![
        ("unknown keys", numbered("", &|n| format!("a{n} = 1\n"))),
        ("lines that are none", filled("format = 1\n", "xyzzy plugh\n")),
        ("values without quotes", filled(GOOD, "a = 3 ft\n")),
        ("lists of nothing", filled("", "[[x]]\n")),
        ("pumps without anything", filled("", "[[pump]]\n")),
        ("quotes left open", filled("", "a=\"\n")),
        ("brackets", filled(&format!("{GOOD}a = "), "[")),
        ("braces", filled(&format!("{GOOD}a = "), "{a=")),
        ("points", filled("a", ".a")),
        ("tables in tables", numbered("", &|n| format!("a{}.b{n} = 1\n", ".a".repeat(60)))),
        ("a list left open", filled("a = [\n", "1\n")),
        ("a text left open", filled("a = \"\"\"\n", "x\n")),
        (
            "unknown fittings",
            numbered("[discharge]\nriser = { fittings = { a = 1", &|n| format!(", \"elbow {n}\" = 1")),
        ),
        ("names", numbered(GOOD, &|n| format!("\n[[low_spot]]\nname = \"p{n}\"\n"))),
    ]
}

/// A list that is never closed, with a mistake in each of its lines: what was meant by each was once looked for in all the
/// text, again and again, for ten seconds and more. Where reading stops says how often that was done.
#[test]
fn regress_a_list_left_open_is_given_up_early() {
    let text = format!("a = [\n{}", "1\n".repeat(16_000));
    let reading = read(&text, &NoFiles);
    let given_up = reading.problems.iter().find(|problem| problem.message.contains("the rest of the file is not read"));
    let place = given_up.and_then(|problem| problem.span.clone()).expect("given up");
    assert!(place.start < 100, "only at byte {}", place.start);
}

/// The memory is that of the address space, which a shell limits; elsewhere there is no such limit to set.
#[cfg(target_os = "linux")]
#[test]
fn identity_no_file_as_large_as_is_read_takes_more_than_200_megabytes() {
    for (index, (name, text)) in costly().into_iter().enumerate() {
        assert!(text.len() <= LARGEST && text.len() > LARGEST - 1000, "{name}: {}", text.len());
        let (_, path) = folder(&format!("limits-costly-{index}"), &text);
        let output = Command::new("sh")
            .args(["-c", "ulimit -v 204800; exec \"$0\" check \"$1\""])
            .args([Path::new(env!("CARGO_BIN_EXE_sumpwright")), &path])
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(2), "{name}: {}", said(&output).chars().take(300).collect::<String>());
        assert!(said(&output).len() < 200_000, "{name}: {} bytes said", said(&output).len());
        fs::remove_file(path).unwrap();
    }
}

/// Every source file of the program, tests in a file of their own left out.
fn sources(folder: &Path, found: &mut Vec<(String, String)>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.to_string_lossy().replace('\\', "/");
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") && !name.contains("/tests") {
            found.push((name, fs::read_to_string(&path).unwrap()));
        }
    }
}

#[test]
fn identity_nothing_is_run_no_machine_asked_and_files_are_opened_in_few_places() {
    let mut found = Vec::new();
    sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut found);
    assert!(found.len() > 200, "{} files", found.len());
    for (name, text) in found {
        for word in ["std::net", "TcpStream", "UdpSocket", "process::Command", "env::var", "libloading"] {
            assert!(!text.contains(word), "{name} has {word}");
        }
        let opens = ["File::open", "fs::read", "OpenOptions", "fs::write", "File::create"];
        if opens.iter().any(|word| text.contains(word)) {
            let known = ["src/cli/input.rs", "src/cli/output.rs", "src/cli/record.rs"];
            assert!(known.iter().any(|known| name.ends_with(known)), "{name} opens files");
        }
    }
}
