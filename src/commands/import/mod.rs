//! `pintle catalog import`: a flat price list in, a catalog that `quote` uses at once. How the list was read is kept beside
//! it, so that the next issue is read in the same way and laid beside the last as an edition of its own.

mod goods;
mod mapping;
mod report;

use std::collections::BTreeSet;
use std::io::{BufRead, IsTerminal};
use std::path::{Path, PathBuf};

use crate::catalog::{Catalog, list_file};
use crate::read::price_list::{self, Holds, PriceList};
use crate::understand::Lexicon;
use crate::write::files::{self, Output};

use super::cli::ImportArgs;
use super::progress::Progress;
use super::{Outcome, output};
use mapping::Mapping;

/// The mapping's file in a catalog folder.
const MAPPING: &str = "import.toml";

/// Runs the command.
pub fn run(args: &ImportArgs) -> Result<Outcome, String> {
    let folder = folder(args);
    let mut mapping = mapping_of(args, &folder)?;
    let effective = effective(args)?;
    let list = price_list::read(&args.list, &mapping.said()?)?;
    mapping.take_over(args, &list);
    check_columns(&list, &mapping, &folder)?;
    output::say(&report::columns(&list));
    if !confirmed(args)? {
        return Err("nothing was imported\n  help: write the right columns into a mapping file and give it with --map"
            .to_owned());
    }
    let words: Vec<PathBuf> = args.words.clone();
    let lexicon = Lexicon::load(&words)?;
    let progress = Progress::begin("reading the descriptions");
    let goods = goods::all(&list, &mapping, &lexicon);
    drop(progress);
    if goods.entries.is_empty() {
        output::say(&report::text(&goods));
        return Err(
            "no row of the list could be used\n  help: see what is said above; correct the mapping and import again"
                .to_owned(),
        );
    }
    let outputs = outputs(&folder, &effective, &mapping, &goods)?;
    let progress = Progress::begin("loading the catalog to prove it");
    prove(&outputs, &folder, &effective)?;
    drop(progress);
    save(&outputs, &folder, &effective, args.force)?;
    output::say(&report::text(&goods));
    output::say(&super::quote::written(&outputs));
    output::say(&format!(
        "use it: `pintle quote bid-set.xlsx --catalog {}`, or name the folder `catalog` beside the schedule",
        folder.display()
    ));
    Ok(if goods.is_whole() { Outcome::Clean } else { Outcome::Open })
}

/// The catalog folder: the one given, or one beside the list, named like it.
fn folder(args: &ImportArgs) -> PathBuf {
    args.into.clone().unwrap_or_else(|| args.list.with_extension("catalog"))
}

/// The date from which the prices hold: the one given, or today.
fn effective(args: &ImportArgs) -> Result<String, String> {
    let Some(text) = &args.effective else { return Ok(jiff::ZonedDateTime::now().date().to_string()) };
    text.parse::<jiff::civil::Date>().map(|date| date.to_string()).map_err(|_| {
        format!("--effective: \"{text}\" is not a date\n  help: write year, month, day, such as 2026-11-25")
    })
}

/// The mapping given, or that of the last import into the folder, or an empty one.
fn mapping_of(args: &ImportArgs, folder: &Path) -> Result<Mapping, String> {
    let kept = folder.join(MAPPING);
    if !kept.exists() && folder.join("catalog.toml").exists() {
        return Err(format!(
            "{} holds a catalog that was not imported\n  help: name another folder with --into; to put the list beside product \
             lines, copy goods.csv, list.toml and discounts.toml of its edition into the edition of that catalog",
            folder.display()
        ));
    }
    if let Some(path) = &args.map {
        return Mapping::load(path);
    }
    if kept.exists() {
        return Mapping::load(&kept);
    }
    Ok(Mapping::default())
}

/// A list needs a price, and a number or a description; what the mapping names must be there.
fn check_columns(list: &PriceList, mapping: &Mapping, folder: &Path) -> Result<(), String> {
    let all = || list.sheets.iter().flat_map(|sheet| sheet.columns.values());
    let has = |wanted: &[Holds]| all().any(|(_, holds)| wanted.contains(holds));
    let missing = mapping.columns.keys().filter(|heading| {
        !all().any(|(own, _)| own.trim().eq_ignore_ascii_case(heading.trim())) && !heading.starts_with("column ")
    });
    if let Some(heading) = missing.into_iter().next() {
        return Err(format!(
            "{}: the mapping names a column \"{heading}\", and the list has none\n  help: correct {}, or give another with --map",
            list.file,
            folder.join(MAPPING).display()
        ));
    }
    if has(&[Holds::Price, Holds::Net]) && has(&[Holds::Number, Holds::Description]) {
        return Ok(());
    }
    let tried = list.sheets.iter().map(|sheet| sheet.tried.as_str()).find(|tried| !tried.is_empty()).unwrap_or("");
    Err(format!(
        "{}: no row of headings with a price and a number or description was found; the first row of several cells is: {tried}\n  \
         help: write a mapping file and give it with --map:\n\n{}",
        list.file,
        Mapping::example()
    ))
}

/// Asks on the terminal whether the columns are right; a mapping file, `--yes`, or no terminal to ask on, is a yes.
fn confirmed(args: &ImportArgs) -> Result<bool, String> {
    let stdin = std::io::stdin();
    if args.yes || args.map.is_some() || !stdin.is_terminal() {
        return Ok(true);
    }
    output::say("Is that right? [Y/n]");
    let mut answer = String::new();
    stdin
        .lock()
        .read_line(&mut answer)
        .map_err(|error| format!("cannot read the answer: {error}\n  help: say --yes"))?;
    Ok(matches!(answer.trim().to_lowercase().as_str(), "" | "y" | "yes"))
}

/// The files of the catalog.
fn outputs(folder: &Path, effective: &str, mapping: &Mapping, goods: &goods::Goods) -> Result<Vec<Output>, String> {
    let editions = editions(folder);
    let file = |name: &str, text: String| Output::new(folder.join(name), text.into_bytes());
    let mut outputs = vec![
        file("catalog.toml", mapping::catalog_file(folder, mapping, effective, &editions)?),
        file(MAPPING, mapping.text()),
        file(&format!("{effective}/list.toml"), mapping::list_file(mapping)),
        file(&format!("{effective}/goods.csv"), list_file::text(&goods.entries)),
        file("not-understood.csv", report::table(goods)),
    ];
    let has_discounts = |edition: &String| folder.join(edition).join("discounts.toml").exists();
    if !mapping.net && !editions.iter().any(has_discounts) {
        outputs.push(file(&format!("{effective}/discounts.toml"), mapping::discounts_file(goods)));
    }
    Ok(outputs)
}

/// Folders of earlier imports, named by date.
fn editions(folder: &Path) -> BTreeSet<String> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let names = entries.map(|entry| entry.file_name().to_string_lossy().into_owned());
    names.filter(|name| name.parse::<jiff::civil::Date>().is_ok()).collect()
}

/// Loads the catalog as it will be before a byte of it is written.
fn prove(outputs: &[Output], folder: &Path, effective: &str) -> Result<(), String> {
    let mut texts: Vec<(String, String)> = Vec::new();
    for output in outputs {
        let name = output.path.strip_prefix(folder).unwrap_or(&output.path);
        let name = name.iter().map(|part| part.to_string_lossy()).collect::<Vec<_>>().join("/");
        texts.push((name, String::from_utf8_lossy(&output.bytes).into_owned()));
    }
    for edition in editions(folder) {
        for name in ["list.toml", "goods.csv", "discounts.toml"] {
            let path = folder.join(&edition).join(name);
            let name = format!("{edition}/{name}");
            if let (Ok(text), false) = (std::fs::read_to_string(path), texts.iter().any(|(known, _)| *known == name)) {
                texts.push((name, text));
            }
        }
    }
    let texts: Vec<(&str, &str)> = texts.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    Catalog::from_texts(&texts, effective).map(drop)
}

/// Writes the catalog. What an import owns is replaced; the goods of an edition that is there only with `--force`.
fn save(outputs: &[Output], folder: &Path, effective: &str, force: bool) -> Result<(), String> {
    let edition = folder.join(effective);
    std::fs::create_dir_all(&edition).map_err(|error| {
        format!(
            "cannot make folder {}: {error}\n  help: choose a folder you may write to with --into",
            edition.display()
        )
    })?;
    let (guarded, owned): (Vec<Output>, Vec<Output>) =
        outputs.iter().cloned().partition(|output| output.path.starts_with(&edition));
    files::save(&guarded, force).map_err(|message| {
        message.replace("--out", "--into").replace("keep it by", "keep it by giving another date with --effective, by")
    })?;
    files::save(&owned, true)
}
