//! Ways of loading as text.

use super::lines::paragraph;
use cost::loading::Loading;
use model::files::job::Job;
use model::files::shop::Shop;
use std::fmt::Write as _;

/// The ways beside each other, and what each is worth.
pub fn loading(job: &Job, shop: &Shop, loading: &Loading) -> String {
    let mut text = format!("{}: ways of loading\n", job.file.name);
    text += &paragraph("  ", &view::loading::summary(shop, loading));
    let wide = loading.ways.iter().map(|it| it.way.name.chars().count()).max().unwrap_or(0).max(3);
    let _ = writeln!(
        text,
        "\n  {:<wide$} {:>10} {:>12} {:>12} {:>13} {:>12}",
        "way", "each", "with capital", "lathe s each", "person s each", "person h/yr"
    );
    let parts = f64::from(loading.investment.parts_a_year);
    for it in &loading.ways {
        let _ = writeln!(
            text,
            "  {:<wide$} {:>10.4} {:>12.4} {:>12.1} {:>13.1} {:>12.0}",
            it.way.name,
            it.each,
            it.each_with_capital,
            it.lathe.s(),
            it.person.s(),
            it.person.s() * parts / 3600.0
        );
    }
    text.push('\n');
    for it in &loading.ways {
        if let Some(step) = it.beside {
            let words = view::loading::beside_words(loading, it, &step, &shop.currency);
            text += &paragraph("  ", &words);
        }
    }
    if let Some(sensitivity) = &loading.sensitivity {
        let name = &loading.ways[sensitivity.way].way.name;
        let most = sensitivity.swings.first().map_or(String::new(), |it| {
            let percent = 100.0 * cost::sensitivity::STEP;
            format!(
                " What moves the worth of {name} most: {}, {} to {} from {percent:.0} % lower to {percent:.0} % higher.",
                it.figure, it.lower, it.higher
            )
        });
        text += &paragraph("  ", most.trim_start());
    }
    text += "\nNot in it\n";
    for line in &loading.left_out {
        text += &paragraph("  - ", line);
    }
    text
}
