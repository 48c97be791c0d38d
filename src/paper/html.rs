//! Sheets as one page: no script, nothing fetched, black on white, for a
//! screen and for paper of A4 or Letter size.

use std::fmt::Write as _;

use super::{Card, Paper, Part, Row, TICKED, Table, escape};

/// The page of these sheets. `title` heads it, `lead` follows, `foot` ends it.
#[must_use]
pub fn page(title: &str, lead: &[String], papers: &[Paper], foot: &[String]) -> String {
    let mut html = String::from(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>",
    );
    // Writing into a string cannot fail.
    let _ = write!(html, "{}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n", escape(title));
    let _ = writeln!(html, "<header>\n<h1>{}</h1>", escape(title));
    for line in lead {
        let _ = writeln!(html, "<p>{}</p>", escape(line));
    }
    html.push_str("</header>\n");
    if papers.len() > 1 {
        html.push_str("<nav aria-label=\"Sheets\">\n<ul>\n");
        for Paper { id, title, .. } in papers {
            let _ = writeln!(html, "<li><a href=\"#{id}\">{}</a></li>", escape(title));
        }
        html.push_str("</ul>\n</nav>\n");
    }
    html.push_str("<main>\n");
    for paper in papers {
        section(&mut html, paper);
    }
    html.push_str("</main>\n");
    if !foot.is_empty() {
        html.push_str("<footer>\n");
        for line in foot {
            let _ = writeln!(html, "<p>{}</p>", escape(line));
        }
        html.push_str("</footer>\n");
    }
    html.push_str("</body>\n</html>\n");
    html
}

fn section(html: &mut String, paper: &Paper) {
    let id = paper.id;
    let _ = writeln!(
        html,
        "<section id=\"{id}\" aria-labelledby=\"{id}-title\">\n<h2 id=\"{id}-title\">{}</h2>",
        escape(paper.title)
    );
    for part in &paper.parts {
        match part {
            Part::Heading(words) => _ = writeln!(html, "<h3>{}</h3>", escape(words)),
            Part::Words(words) => _ = writeln!(html, "<p>{}</p>", escape(words)),
            Part::Caution(words) => {
                let _ =
                    writeln!(html, "<p class=\"caution\"><strong>{}</strong></p>", escape(words));
            }
            Part::List(items) => {
                html.push_str("<ul>\n");
                for item in items {
                    let _ = writeln!(html, "<li>{}</li>", escape(item));
                }
                html.push_str("</ul>\n");
            }
            Part::Table(table) => rows(html, table),
            Part::Cards(cards) => {
                html.push_str("<div class=\"cards\">\n");
                cards.iter().for_each(|c| card(html, c));
                html.push_str("</div>\n");
            }
            Part::Pictures(pictures) => {
                for picture in pictures {
                    let words = escape(&picture.title);
                    let _ = writeln!(
                        html,
                        "<figure>\n<figcaption>{words}</figcaption>\n{}</figure>",
                        picture.svg
                    );
                }
            }
        }
    }
    html.push_str("</section>\n");
}

fn rows(html: &mut String, table: &Table) {
    let _ = write!(html, "<table>\n<caption>{}</caption>\n<thead>\n<tr>", escape(&table.caption));
    for head in &table.heads {
        match head.words {
            "" => html.push_str("<th scope=\"col\"><span class=\"aside\">done</span></th>"),
            words => _ = write!(html, "<th scope=\"col\">{words}</th>"),
        }
    }
    html.push_str("</tr>\n</thead>\n<tbody>\n");
    let columns = table.heads.len();
    for row in &table.rows {
        let cells = match row {
            Row::Cells(cells) => cells,
            Row::Heading(words) => {
                let words = escape(words);
                let _ = writeln!(
                    html,
                    "<tr class=\"group\"><th colspan=\"{columns}\" scope=\"colgroup\">{words}</th></tr>"
                );
                continue;
            }
            Row::Caution(words) => {
                let words = escape(words);
                let _ = writeln!(
                    html,
                    "<tr><td colspan=\"{columns}\"><p class=\"caution\"><strong>{words}</strong></p></td></tr>"
                );
                continue;
            }
        };
        html.push_str("<tr>");
        for (head, cell) in table.heads.iter().zip(cells) {
            match (head.words, head.tight) {
                ("", _) if cell == TICKED => html.push_str("<td class=\"tick\">\u{2611}</td>"),
                ("", _) => html.push_str("<td class=\"tick\">\u{2610}</td>"),
                (_, true) => _ = write!(html, "<td class=\"tight\">{}</td>", escape(cell)),
                (_, false) => _ = write!(html, "<td>{}</td>", escape(cell)),
            }
        }
        html.push_str("</tr>\n");
    }
    html.push_str("</tbody>\n</table>\n");
}

fn card(html: &mut String, card: &Card) {
    let title = escape(&card.title);
    let letter = escape(&card.letter.to_string());
    let _ = writeln!(
        html,
        "<article class=\"card\">\n<h3><span class=\"letter\">{letter}</span> {title}</h3>\n<dl>"
    );
    for (name, words) in &card.lines {
        let _ = writeln!(html, "<div><dt>{name}</dt><dd>{}</dd></div>", escape(words));
    }
    html.push_str("</dl>\n</article>\n");
}

const STYLE: &str = "\
:root{color-scheme:light}
*{box-sizing:border-box}
body{margin:0 auto;padding:1rem;max-width:60rem;color:#111;background:#fff;
font:1rem/1.4 Helvetica,Arial,'Liberation Sans','DejaVu Sans',sans-serif;overflow-wrap:anywhere}
h1{font-size:1.7rem;margin:.2rem 0}
h2{font-size:1.35rem;margin:1.6rem 0 .4rem;border-bottom:2px solid #111}
h3{font-size:1.05rem;margin:1rem 0 .3rem;break-after:avoid}
p{margin:.3rem 0}
nav ul{display:flex;flex-wrap:wrap;gap:.2rem 1rem;list-style:none;padding:0}
nav a{color:#0b3d91}
table{border-collapse:collapse;width:100%;margin:.4rem 0}
caption{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.aside{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
th,td{border-bottom:1px solid #888;padding:.2rem .4rem;text-align:left;vertical-align:top}
th{border-bottom:2px solid #111;white-space:nowrap}
tr.group th{border-bottom:1px solid #111;padding-top:.7rem;white-space:normal}
tr.group{break-after:avoid}
td.tight{white-space:nowrap;overflow-wrap:normal}
td.tick{width:1.6rem;font-size:1.15rem;line-height:1.1}
figure{margin:.6rem 0;break-inside:avoid}
figcaption{font-weight:bold}
svg{display:block;width:100%;height:auto}
.caution{border-left:4px solid #111;padding-left:.6rem}
.cards{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(17rem,100%),1fr));gap:.6rem}
.card{border:1px dashed #555;padding:.6rem .8rem;break-inside:avoid}
.card h3{margin:0 0 .3rem;font-size:1.2rem}
.letter{display:inline-block;border:2px solid #111;padding:0 .35rem;font-weight:bold}
dl{margin:0}
dl div{margin:.1rem 0}
dt{display:inline;font-weight:bold}
dt::after{content:': '}
dd{display:inline;margin:0}
footer{margin-top:1.6rem;border-top:2px solid #111;font-size:.9rem}
@page{margin:12mm}
@media print{
body{max-width:none;padding:0;font-size:10pt}
nav{display:none}
section{break-before:page}
section:first-child{break-before:auto}
tr{break-inside:avoid}
th,td{padding:.08rem .4rem}
.cards{grid-template-columns:1fr 1fr;gap:4mm}
footer{break-inside:avoid}
}
";
