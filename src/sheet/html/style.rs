//! The style of a page.

/// The style; `font` is the size of the letters in pictures, in millimetres of
/// the drawing.
pub fn style(font: f64) -> String {
    format!(
        "{PAGE}.picture text{{font:{font}px sans-serif;fill:currentColor;stroke:var(--paper);stroke-width:.9;stroke-linejoin:round}}\n"
    )
}

/// Widths and dashes of lines in pictures follow ISO 128: wide 0.5 mm, narrow
/// 0.25 mm.
const PAGE: &str = r#"
:root{--paper:#fff;--ink:#111;--faint:#555;--rule:#bbb;--well:#0a5c22;--edge:#7a4b00;--ill:#a30f16;--shade:#f1f1ee}
@media (prefers-color-scheme:dark){@media screen{:root{--paper:#14161a;--ink:#eceae4;--faint:#a9a9a3;--rule:#4a4d53;--well:#7fd896;--edge:#f0bd62;--ill:#ff8f8a;--shade:#22252b}}}
*{box-sizing:border-box}
html{background:var(--paper);color:var(--ink);font:18px/1.4 sans-serif;-webkit-text-size-adjust:100%}
body{margin:0 auto;padding:1rem;max-width:52rem}
h1{font-size:1.6rem;line-height:1.2;margin:0}
h2{font-size:1.2rem;margin:0 0 .4rem;border-bottom:2px solid var(--ink);break-after:avoid}
.file,.note,footer{color:var(--faint);font-size:.85rem}
.file,footer p{margin:.2rem 0 0;overflow-wrap:anywhere}
section{margin-top:1.4rem}
table{border-collapse:collapse;font-variant-numeric:tabular-nums}
th,td{text-align:left;padding:.2rem .7rem .2rem 0;vertical-align:baseline;font-weight:400}
tr{break-inside:avoid}
thead th{font-size:.8rem;color:var(--faint);border-bottom:1px solid var(--rule);white-space:nowrap}
tbody tr+tr>*{border-top:1px solid var(--rule)}
.values{width:100%;margin:.3rem 0}
.values th[scope=row]{overflow-wrap:break-word}
.values td.remarks{width:45%}
td.number,th.number{text-align:right;white-space:nowrap}
.values td.number{font-size:1.1rem;font-weight:700;padding-right:.3rem}
.values td.number.other{font-size:1rem;font-weight:400}
.values td.words{font-weight:700}
.unit,.limits{white-space:nowrap}
.grid{overflow-x:auto;margin:.6rem 0}
.cells caption{text-align:left;font-weight:700;padding:.2rem 0;overflow-wrap:anywhere}
.cells td.number,.cells th.number{padding-left:.6rem}
ul{list-style:none;margin:.4rem 0;padding:0}
li{margin:.3rem 0;break-inside:avoid;overflow-wrap:anywhere}
.state{font-weight:700;white-space:nowrap}
.sign{display:inline-block;min-width:1.2em;text-align:center;border:1px solid currentColor;border-radius:.2em;line-height:1.15}
.well{color:var(--well)}.edge{color:var(--edge)}.ill{color:var(--ill)}
.ill .sign{background:var(--ill);color:var(--paper)}
.ops label{display:flex;gap:.6rem;align-items:baseline;padding:.25rem 0}
.ops input{flex:none;width:1.3rem;height:1.3rem;margin:0;align-self:flex-start;accent-color:var(--well)}
.ops .number{flex:none;min-width:1.4em;text-align:right;font-weight:700}
.ops b{white-space:nowrap}
.reading{white-space:nowrap;font-size:.85rem;color:var(--faint)}
.blank{display:inline-block;width:6em;border-bottom:1.5px solid var(--ink)}
figure{margin:.8rem 0;break-inside:avoid}
figcaption{font-size:.85rem;color:var(--faint);max-width:40rem}
figcaption b{color:var(--ink)}
.cautions li{border-left:4px solid var(--edge);padding-left:.6rem}
.errors pre{margin:.6rem 0;font-size:.9rem;overflow-x:auto}
footer{margin-top:2rem;border-top:1px solid var(--rule)}
@media screen and (max-width:34rem){
.values th[scope=row]{overflow-wrap:anywhere}
html{font-size:17px}
.values thead{display:none}
.values tr{display:grid;grid-template-columns:1fr auto auto;column-gap:.3rem;border-top:1px solid var(--rule);padding:.2rem 0}
.values tbody tr>*{border:0;padding:0}
.values td.words{grid-column:2/4}
.values td.number.other{grid-column:2}
.values td.limits,.values td.remarks{grid-column:1/4;width:auto}
.values td.limits:empty,.values td.remarks:empty{display:none}
}
@page{margin:14mm}
@media print{
html{font-size:13pt;background:none;color:#000}
body{padding:0;max-width:none}
.ops input{appearance:none;border:1.5px solid #000;border-radius:0}
.grid{overflow:visible}
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
