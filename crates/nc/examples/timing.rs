#[path = "../benches/corpus.rs"]
mod corpus;
fn main() {
    let text = corpus::corpus(std::env::args().nth(1).unwrap().parse().unwrap());
    let source = model::Source::new("x", text.as_str());
    let mut best = f64::MAX;
    for _ in 0..std::env::args().nth(2).map_or(2_000_000_000 / text.len(), |n| n.parse().unwrap()) {
        let t = std::time::Instant::now();
        let tree = nc::read::read(&source);
        let s = t.elapsed().as_secs_f64();
        if s < best {
            best = s;
            println!(
                "{:.1} ms {:.0} MB/s blocks {} items {} cap {} expr {} troubles {}",
                s * 1e3,
                text.len() as f64 / 1e6 / s,
                tree.blocks.len(),
                tree.items.len(),
                tree.items.capacity(),
                tree.expressions.len(),
                tree.troubles.len()
            );
        }
    }
    println!(
        "sizes item {} block {} expr {}",
        size_of::<nc::tree::Item>(),
        size_of::<nc::tree::Block>(),
        size_of::<nc::tree::Expression>()
    );
}
