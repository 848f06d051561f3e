/** The printable page's look: one column, black on white, colours only beside words, no break inside a row or a photo. */
export const pageStyle = `
:root{color-scheme:light}
body{margin:0;background:#fff;color:#1a1a1a;font:16px/1.45 system-ui,"DejaVu Sans",sans-serif}
main{max-width:48rem;margin:0 auto;padding:1.5rem}
h1{font-size:1.7rem;margin:.2rem 0 1rem}h2{font-size:1.1rem;margin:1.4rem 0 .4rem;break-after:avoid}
.shop{margin:0;color:#444}
.verdict{border:2px solid;padding:.7rem 1rem;overflow-wrap:anywhere}.verdict strong{font-size:1.6rem}.verdict p{margin:.2rem 0 0;color:#1a1a1a}
.pass,.good{color:#0b5d1e}.fail,.bad{color:#9b1c1c}.unsure,.open{color:#6b4e00}
.good,.bad,.open,.banner{font-weight:700}
.banner{color:#9b1c1c}
dl{display:grid;grid-template-columns:max-content 1fr;gap:.15rem 1rem}dt{color:#444}dd{margin:0;font-weight:600;overflow-wrap:anywhere}
table{border-collapse:collapse;width:100%}th,td{text-align:left;padding:.35rem .5rem;border-bottom:1px solid #ccc;overflow-wrap:anywhere}
tbody th{white-space:nowrap}thead th{border-bottom:2px solid #444;font-size:.85rem}tr{break-inside:avoid}.n{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}
ul{margin:.2rem 0;padding-left:1.2rem}li{overflow-wrap:anywhere}
.notes{white-space:pre-wrap;overflow-wrap:anywhere;unicode-bidi:plaintext;text-align:left}
.proof{display:grid;grid-template-columns:auto 1fr;gap:0 1rem;break-inside:avoid}.proof h2{grid-column:1/-1}.qr{width:9rem;height:9rem}
.proof p{margin:.3rem 0}.hash{font-family:ui-monospace,"DejaVu Sans Mono",monospace;font-size:.8rem;overflow-wrap:anywhere}
.photos{display:grid;grid-template-columns:repeat(auto-fill,minmax(16rem,1fr));gap:1rem}figure{margin:0;break-inside:avoid}
img{max-width:100%;max-height:22rem}figcaption{font-size:.8rem;color:#444;overflow-wrap:anywhere}
@page{margin:16mm}@media print{main{padding:0;max-width:none}body{font-size:11pt}}
@media (max-width:34rem){dl{grid-template-columns:1fr}dd{margin-bottom:.4rem}.proof{grid-template-columns:1fr}}
`;
