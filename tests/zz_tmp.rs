use sumpwright::{site, design};
struct Disk;
impl site::Files for Disk { fn read(&self, p:&str)->Result<String,String>{ std::fs::read_to_string(format!("examples/{p}")).map_err(|e| e.to_string()) } }
#[test]
fn show() {
    for name in ["cut-bank","courtyard-metric","two-pumps","wet-meadow","heavy-clay","over-the-bank","long-run"] {
        let text = std::fs::read_to_string(format!("examples/{name}.toml")).unwrap();
        let reading = site::read(&text, &Disk);
        let site = reading.site.unwrap();
        let t = std::time::Instant::now();
        let d = design::design(&site).unwrap();
        println!("=== {name} {:?}", t.elapsed());
        match &d.in_storms {
            Err(e) => println!("{e}"),
            Ok(s) => {
                for p in &s.periods {
                    let n=&p.nested;
                    println!("{:?} peak {:.1} gpm came {:.1} gal pumped {:.3} depth {:.2} in stands {:.1} min starts {} runs {:.1} min block {:.2} in of {:.0} min, {:.1} min of {:.0} imb {:.1e} rest {} after {:.1}h", p.period.map(|p|p.years()), n.peak_inflow.gpm(), n.came.gal(), n.pumped_share(), n.depth().inch(), n.stands().minutes(), n.starts, n.runs.minutes(), p.block_depth.1.inch(), p.block_depth.0.minutes(), p.block_stands.1.minutes(), p.block_stands.0.minutes(), n.imbalance, n.at_rest, n.followed.h());
                    for h in &n.hollows { println!("    {} {:.2} in at {:.2} h; spilled {:.0} gal", h.name, h.deepest.inch(), h.deepest_at.h(), h.spilled.gal()); }
                }
                println!("goal {:?}", s.goal);
                let c=&s.power_cut; println!("cut {:.2} h stands {:?} all {:.2} in prot {:?} bat {:?}", c.cut_at.h(), c.stands_after.map(|d|d.minutes()), c.all_storm.depth().inch(), c.protected.iter().map(|p|(p.0.clone(),p.2.map(|d|d.minutes()))).collect::<Vec<_>>(), c.battery.as_ref().map(|b|(b.without_stopping.minutes(), b.needed.minutes(), b.flat_at.map(|d|d.h()))));
                if let Some(o)=&s.other_pumps { println!("other {} {:.1} gpm {:.2} in {:.1} min", o.count, o.flow.gpm(), o.outcome.depth().inch(), o.outcome.stands().minutes()); }
                println!("assume {:?}", s.assumptions.iter().map(|a|a.what.clone()).collect::<Vec<_>>());
            }
        }
    }
}
