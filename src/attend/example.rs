//! A shop file to begin with.

use std::fmt::Write as _;

/// Lathes of the example at most.
const MOST: usize = 5;

/// A shop file for a folder with these jobs, by path from it; every figure in it is invented.
pub(crate) fn example(jobs: &[String]) -> String {
    let mut text = String::from(
        r#"# The shop: its lathes, who is there when, how long a visit takes. Every figure here is invented: put in your own.
units = "mm"
name = "Our shop"
# time_zone = "Europe/Berlin"   # with it the pages know what your clock shows now

[[hours]]
name = "day"
days = ["mon", "tue", "wed", "thu", "fri"]
spans = ["07:00-12:00", "12:30-16:00"]   # what lies between is a break

[[person]]
name = "First person"
hours = "day"

[attend]                        # minutes
walk = 0.5                      # from one lathe to another
load = 4                        # a bar loaded, its first part gauged
"#,
    );
    for (index, job) in jobs.iter().take(MOST).enumerate() {
        let job = toml_edit::Value::from(job.as_str()).to_string();
        let number = index + 1;
        let _ = write!(text, "\n[[lathe]]\nname = \"Lathe {number}\"\njob = {}\n", job.trim());
    }
    if jobs.is_empty() {
        text += "\n[[lathe]]\nname = \"Lathe 1\"\nruns = 120                      # minutes that a new bar runs by itself, where no job says it\n";
    }
    text
}

#[cfg(test)]
mod tests {
    use super::super::gather;
    use super::*;
    use model::Source;

    #[test]
    fn the_example_is_a_shop_file_whatever_jobs_are_called() {
        for jobs in
            [vec![], vec!["pin/pin.job.toml".to_owned(), "a \"b\" \\ 'c'\n.job.toml".to_owned()]]
        {
            let text = example(&jobs);
            let shop = gather::shop(&Source::new("shop.toml", text.as_bytes())).unwrap();
            assert_eq!(shop.lathes.len(), jobs.len().max(1));
            assert_eq!(shop.people.len(), 1);
        }
    }
}
