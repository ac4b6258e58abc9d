//! The style of a page.

use std::fmt::Write;

/// The widest picture, in whole centimetres.
const WIDEST: u32 = 19;

/// The room for a picture on a phone, in millimetres.
const ON_PHONE: u32 = 94;

/// The widest picture beside which there is room for ops on paper.
const BESIDE: u32 = 10;

/// Returns the style; `font` is the size of the letters in pictures, in millimetres of
/// the drawing.
pub fn style(font: f64) -> String {
    let mut style = format!(
        "{PAGE}.picture text{{font:{font}px sans-serif;fill:currentColor;stroke:var(--paper);stroke-width:.9;stroke-linejoin:round}}\n"
    );
    // A picture wider than its place is shrunk there, and then its scale is not true.
    // Letters get no smaller than three fifths, of the widest pictures a half, which a
    // phone has room for; what is wider still scrolls in itself.
    for width in 1..=WIDEST {
        let least = (width * 6).min(ON_PHONE);
        let _ = writeln!(
            style,
            ".canvas.w{width}>svg{{min-width:{least}mm}}\
             @media screen{{@container (max-width:{width}cm){{.scale.w{width} .true{{display:none}}.scale.w{width} .shrunk{{display:inline}}}}}}\
             @media screen and (min-width:60rem){{.work>figure.w{width}{{float:right;width:min({width}cm,46%)}}}}"
        );
        if width <= BESIDE {
            let _ = writeln!(
                style,
                "@media print{{.work>figure.w{width}{{float:right;width:{width}cm}}}}"
            );
        }
    }
    let _ = writeln!(style, "@media print{{{CARD}");
    for width in 1..=WIDEST {
        let small = width * 6;
        let _ = writeln!(style, "{ON_CARD} .canvas.w{width}>svg{{width:{small}mm}}");
        if small > CARD_COLUMN {
            let _ = writeln!(style, "{ON_CARD} figure.w{width}{{column-span:all}}");
        }
    }
    style.push('}');
    style
}

/// What is printed as a shop card.
const ON_CARD: &str = "body:has(#view-card:checked)";

/// The width of its columns on A4, in millimetres.
const CARD_COLUMN: u32 = 90;

/// The shop card on paper: one sheet, in two columns. Nothing is smaller than 8 points:
/// the letters of pictures are 13.9 points high and shrink to three fifths. Limits and
/// the other unit of a setting are read in its op, and so is what was chosen of a list.
const CARD: &str = r#"
html:has(#view-card:checked){font-size:8pt;line-height:1.05}
body:has(#view-card:checked){
article{columns:2;column-gap:5mm}
header{column-span:all}
section{margin-top:.2rem}
:is(.work,.op,.do,figure,.grid){display:block}
:is(.record.shown~.record.shown,.grid .working,.grid.choice,header .file,.settings .other){display:none}
h2{margin-bottom:.1rem}
:is(.ops,.verdict){margin:0}
:is(.settings .what,.op .caution,.note,.facts dt,figcaption,thead th){font-size:1rem}
.op{padding:.1rem 0;break-inside:avoid}
.op label{float:left;min-width:0;margin-right:1.5mm;gap:.2rem}
.op input{width:4mm;height:4mm}
.op .number{font-size:1.1rem}
.settings{gap:0 2.5mm;margin:.1rem 0 0}
.settings li{display:inline-flex;flex-direction:row;gap:1mm}
.settings b{order:2;font-size:1.5rem;line-height:1.05}
.settings b.long{font-size:1.3rem}
figure{float:none;width:auto;margin:.2rem 0;break-inside:avoid}
.canvas>svg{height:auto}
.grid{margin:.2rem 0;break-inside:avoid}
:is(th,td){padding-right:.25rem}
.cells :is(td,th).number{padding-left:.25rem}
.scale .true{display:none}
.scale .shrunk{display:inline}
}
"#;

/// Returns a text as a string of CSS: whatever is no letter, figure or blank is written
/// by its number.
pub fn string(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        if c.is_alphanumeric() || c == ' ' {
            out.push(c);
        } else if !c.is_control() {
            let _ = write!(out, "\\{:x} ", u32::from(c));
        }
    }
    out.push('"');
    out
}

/// Widths and dashes of lines in pictures follow ISO 128: wide 0.5 mm, narrow
/// 0.25 mm.
const PAGE: &str = r#"
:root{--paper:#fff;--ink:#111;--faint:#505050;--rule:#bbb;--well:#0a5c22;--edge:#744700;--ill:#a30f16}
@media (prefers-color-scheme:dark){@media screen{:root{--paper:#14161a;--ink:#eceae4;--faint:#b4b4ae;--rule:#4a4d53;--well:#7fd896;--edge:#f0bd62;--ill:#ff9f9a}}}
*{box-sizing:border-box}
html{background:var(--paper);color:var(--ink);font:18px/1.4 sans-serif;-webkit-text-size-adjust:100%}
body{margin:0 auto;padding:1rem;max-width:56rem}
a{color:inherit}
h1{font-size:1.6rem;line-height:1.2;margin:0;overflow-wrap:anywhere}
h2{font-size:1.2rem;margin:0 0 .4rem;border-bottom:2px solid var(--ink);break-after:avoid;overflow-wrap:anywhere}
.views{font-size:.85rem;margin:0 0 1rem;display:flex;flex-wrap:wrap;gap:.2rem 1rem}
.views input{width:1.1rem;height:1.1rem;vertical-align:-.15rem;margin:0}
.file,.note,footer{color:var(--faint);font-size:.85rem}
.file,footer p{margin:.2rem 0 0;overflow-wrap:anywhere}
.facts{display:flex;flex-wrap:wrap;gap:.2rem 1.6rem;margin:.6rem 0}
.facts dt{font-size:.8rem;color:var(--faint)}
.facts dd{margin:0;font-weight:700}
.verdict{margin:.6rem 0 .2rem;font-size:1.15rem}
.first li{border-left:5px solid var(--ill);padding-left:.6rem}
.first li.doubtful{border-color:var(--edge)}
section{margin-top:1.4rem}
table{border-collapse:collapse;font-variant-numeric:tabular-nums}
th,td{text-align:left;padding:.2rem .7rem .2rem 0;vertical-align:baseline;font-weight:400}
tr{break-inside:avoid}
thead th{font-size:.8rem;color:var(--faint);border-bottom:1px solid var(--rule);white-space:nowrap}
tbody tr+tr>*{border-top:1px solid var(--rule)}
.values{width:100%;margin:.3rem 0}
.values th[scope=row]{overflow-wrap:break-word}
.values td.remarks{width:48%}
td.number,th.number{text-align:right;white-space:nowrap}
.values td.number{font-size:1.1rem;font-weight:700;padding-right:.3rem}
.values td.number.other{font-size:1rem;font-weight:400}
.values td.words{font-weight:700;overflow-wrap:anywhere}
.unit,.limits{white-space:nowrap}
.grid{overflow-x:auto;margin:.6rem 0;max-width:100%}
.cells caption{text-align:left;font-weight:700;padding:.2rem 0;overflow-wrap:anywhere}
.cells td.number,.cells th.number{padding-left:.6rem}
.cells th:first-child,.cells td:first-child{position:sticky;left:0;background:var(--paper)}
.grid.long{columns:18rem;column-gap:1.5rem}
.grid.long :is(th,td):first-child{position:static}
.working{margin:.4rem 0}
.working summary{cursor:pointer;color:var(--faint);font-size:.85rem;overflow-wrap:anywhere}
ul{list-style:none;margin:.4rem 0;padding:0}
li{margin:.3rem 0;break-inside:avoid;overflow-wrap:break-word}
.state{font-weight:700;white-space:nowrap}
.sign{display:inline-block;min-width:1.2em;text-align:center;border:1px solid currentColor;border-radius:.2em;line-height:1.15}
.well{color:var(--well)}.edge{color:var(--edge)}.ill{color:var(--ill)}
.ill .sign{background:var(--ill);color:var(--paper)}
.op{display:flex;gap:.8rem;border:1px solid var(--rule);border-radius:.3rem;padding:.5rem .7rem;margin:.5rem 0}
.op:has(input:checked){opacity:.75}
.op label{flex:none;display:flex;flex-direction:column;align-items:center;gap:.2rem;min-width:2rem}
.op input{width:1.6rem;height:1.6rem;margin:0;accent-color:var(--well)}
.op .number{font-weight:700;font-size:1.3rem}
.do{flex:1;min-width:0}
.op p{margin:0}
.op .words b:not(.long){white-space:nowrap}
.settings{display:flex;flex-wrap:wrap;gap:.2rem 1.6rem;margin:.3rem 0 0}
.settings li{margin:0;display:flex;flex-direction:column}
.settings .what{font-size:.8rem;color:var(--faint)}
.settings b{font-size:2.1rem;line-height:1.15;white-space:nowrap;font-variant-numeric:tabular-nums}
.settings b.long{font-size:1.6rem;white-space:normal}
.settings .other{font-size:1.05rem}
.op .caution{border-left:4px solid var(--edge);padding-left:.6rem;margin:.4rem 0 0;font-size:.85rem}
.cautions summary{cursor:pointer}
.op .lost{color:var(--ill);font-size:.85rem;margin-top:.3rem}
.reading{white-space:nowrap;font-size:.85rem;color:var(--faint)}
.blank{display:inline-block;width:6em;border-bottom:1.5px solid var(--ink)}
figure{margin:.8rem 0;break-inside:avoid;container-type:inline-size}
figcaption{font-size:.85rem;color:var(--faint);max-width:40rem}
figcaption b{color:var(--ink)}
.scale .shrunk{display:none}
.canvas{overflow-x:auto}
.work>figure{margin-left:1rem}
.work{display:flow-root}
.fold{display:flow-root}
.errors pre{margin:.6rem 0;font-size:.9rem;overflow-x:auto}
.cautions li{border-left:4px solid var(--edge);padding-left:.6rem}
footer{margin-top:2rem;border-top:1px solid var(--rule)}
body:has(#view-card:checked) :is(.record:not(.shown),.record>:not(figure,h2,.coordinates),.work>:not(.ops,figure,h2,.grid),.cautions,footer,nav){display:none}
@media screen and (max-width:34rem){
.work>figure{margin-left:0}
html{font-size:17px}
.values th[scope=row]{overflow-wrap:anywhere}
.values thead{display:none}
.values tr{display:grid;grid-template-columns:minmax(5rem,1fr) auto auto;column-gap:.3rem;border-top:1px solid var(--rule);padding:.2rem 0}
.values tbody tr>*{border:0;padding:0}
.values td.words{grid-column:2/4}
.values td.words.long{grid-column:1/4}
.values td.number.other{grid-column:2}
.values td.limits,.values td.remarks{grid-column:1/4;width:auto}
.values td.limits:empty,.values td.remarks:empty{display:none}
.limits{white-space:normal}
.state{white-space:normal}
.grid{container-type:inline-size;scroll-snap-type:x mandatory}
.grid :is(th,td):not(:first-child){scroll-snap-align:start}
.grid thead th{white-space:normal}
.grid caption div{width:100cqi;position:sticky;left:0}
.wider{border-right:3px solid var(--rule)}
.wider caption div::after{content:"→ more columns";float:right;font-weight:400;font-size:.8rem;color:var(--faint)}
:is(.by-three,.by-two,.by-one) .cells{table-layout:fixed;width:calc(var(--first) + (var(--columns) - 1)*var(--other))}
:is(.by-three,.by-two,.by-one) tr>:first-child{width:var(--first);overflow-wrap:anywhere}
:is(.by-three,.by-two,.by-one){scroll-padding-left:var(--first)}
.by-three{--first:25cqi;--other:25cqi}
.by-two{--first:28cqi;--other:36cqi}
.by-one{--first:32cqi;--other:68cqi}
.settings b{font-size:1.9rem}
}
@page{margin:12mm 12mm 11mm;@top-left{font:9pt sans-serif}@bottom-left{font:7pt sans-serif}@top-right{content:"sheet " counter(page) " of " counter(pages);font:9pt sans-serif}}
@media print{
.errors pre{white-space:pre-wrap}
html{font-size:8.4pt;line-height:1.15;background:none;color:#000}
body{padding:0;max-width:none}
.views{display:none}
article+article{break-before:page}
section{margin-top:.45rem}
header{display:flex;flex-wrap:wrap;gap:0 1.5rem;align-items:baseline}
header>.first{flex-basis:100%}
.working thead,.values:not(:has(.limits)) thead{display:none}
.values td.number{font-size:1rem}
.values{margin:.15rem 0}
.cells caption{overflow-wrap:normal;white-space:nowrap}
.file,footer p{margin:0}
h1{font-size:1.4rem}
h2{font-size:1.1rem;margin-bottom:.2rem;border-bottom-width:1px}
p,ul{orphans:3;widows:3}
h2,summary,caption{break-after:avoid}
th,td{padding-top:.05rem;padding-bottom:.05rem}
li{margin:.12rem 0}
.facts{margin:.2rem 0}
.verdict{margin:.2rem 0}
.op input{appearance:none;border:1.5px solid #000;border-radius:0;width:5mm;height:5mm}
.op{padding:.15rem 0;margin:0;gap:.5rem;border:0;border-top:1px solid #888;border-radius:0}
.op:has(input:checked){opacity:1}
.op label{flex-direction:row;min-width:3rem;align-items:flex-start;justify-content:space-between}
.do{display:flex;flex-wrap:wrap;gap:0 4mm;align-items:flex-start}
.do>p{flex:1 1 100%}
.do>.words{flex:1 1 84mm}
.do>.settings{flex:0 1 auto;margin:0;gap:0 5mm}
.do>.caution{flex:1 1 100%}
.settings li{display:grid;grid-template-columns:auto 1fr;column-gap:2mm;align-items:baseline}
.settings b{order:3;grid-column:1/3;font-size:2rem;line-height:1}
.settings .other{font-size:.9rem}
.op .caution{border:0;padding:0;margin:.1rem 0 0;font-size:.8rem}
.caution li,.cautions li{display:inline;margin:0 .6em 0 0;border:0;padding:0}
.caution li::before,.cautions li::before{content:"▸ ";color:var(--edge)}
.ill .sign{background:none;color:inherit}
.grid{overflow:visible;display:inline-block;vertical-align:top;margin:.3rem 6mm .3rem 0}
.grid.long{display:block;columns:60mm;column-gap:5mm}
.grid.long.coordinates{columns:40mm}
figure{container-type:normal;display:inline-block;vertical-align:top;max-width:100%;margin:.3rem 3mm .3rem 0}
figcaption{width:0;min-width:100%;font-size:.8rem}
.canvas{overflow:visible}
.canvas>svg{min-width:0!important}
details::details-content{content-visibility:visible;display:block;block-size:auto}
.working summary{list-style:none}
.working,.cautions{font-size:.8rem}
.cautions h2{float:left;border:0;margin:0 .6em 0 0;font-size:.8rem}
.cautions ul{margin:0}
.cautions .note,.cautions details,footer{display:none}
.values td.remarks{width:54%}
.short td.remarks{width:100%}
.short td.words{white-space:nowrap}
.short :is(th,td){padding-right:.4rem}
.facts :is(dt,dd){display:inline;margin-right:.3em}
.cells:not(:has(thead)) tbody{display:flex;flex-wrap:wrap;gap:0 4mm}
.cells:not(:has(thead)) td{border:0}
.fold:has(>.short),.working .fold{columns:80mm 2;column-gap:6mm}
.working .fold:has(>.values:not(.short)){columns:auto}
.work:has(>.tall){break-inside:avoid}
.checks{columns:2}
}
.picture{display:block;max-width:100%;height:auto;overflow:visible}
.picture .o,.picture .t,.picture .c,.picture .p,.picture .d{fill:none;stroke:currentColor;stroke-width:.25}
.picture .o{stroke-width:.5;stroke-linejoin:round;stroke-linecap:round}
.picture .c{stroke-dasharray:6 1.2 .8 1.2}
.picture .p{stroke-dasharray:6 1 .8 1 .8 1}
.picture .d{stroke-dasharray:3 1.5}
.picture .g{stroke:currentColor;stroke-width:.2;opacity:.35}
.picture .f{fill:currentColor;stroke:none}
"#;
