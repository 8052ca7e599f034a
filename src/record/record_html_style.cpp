#include "record/record_html_style.h"

#include "overlay/svg_canvas.h"

namespace boardlore {

std::string record_html_style(const std::vector<Id>& marks) {
  // Text is 4.5:1 or better on its ground in both themes (checked in record_html_test.cpp).
  std::string css = R"(
:root{color-scheme:light dark;--ground:#fff;--card:#f4f5f6;--text:#17191c;--quiet:#565b62;--line:#c9cdd2;--link:#005a8f;--lit:#fff3b8;--fault:#9c3d00}
@media (prefers-color-scheme:dark){:root{--ground:#17191c;--card:#212429;--text:#eceef0;--quiet:#aab0b8;--line:#42474e;--link:#7cc4f0;--lit:#4d4412;--fault:#ffa057}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0 auto;padding:1.25rem;max-width:62rem;background:var(--ground);color:var(--text);font:1rem/1.5 "Open Sans","Segoe UI",Roboto,"DejaVu Sans",sans-serif}
h1{font-size:1.6rem;line-height:1.25;margin:.3rem 0 1rem}
h2{font-size:1.2rem;margin:2.2rem 0 .6rem;padding-top:.7rem;border-top:1px solid var(--line)}
h1,h2,p,dd,figcaption{overflow-wrap:anywhere}
td{overflow-wrap:break-word}
a{color:var(--link)}
a:focus-visible,input:focus-visible,.scroll:focus-visible{outline:3px solid var(--link);outline-offset:2px}
nav ol{columns:2 16rem;padding-left:1.4rem;margin:.4rem 0}
nav a{overflow-wrap:anywhere}
dl{display:grid;grid-template-columns:minmax(7rem,max-content) 1fr;gap:.3rem 1.2rem;margin:0}
dt{color:var(--quiet)}dd{margin:0}
.scroll{overflow-x:auto;margin:.8rem 0}
table{border-collapse:collapse;width:100%;font-size:.92rem;font-variant-numeric:tabular-nums}
caption{text-align:left;color:var(--quiet);padding:.2rem 0 .4rem}
th,td{text-align:left;vertical-align:top;padding:.4rem .7rem .4rem 0;border-bottom:1px solid var(--line)}
th{font-weight:600;color:var(--quiet);white-space:nowrap}
tr.fault td{color:var(--fault);font-weight:600}
tr.fault td:first-child::before{content:"▲ "}
.hash{font-family:"Noto Sans Mono","DejaVu Sans Mono",monospace;font-size:.8rem;word-break:break-all}
.row{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,20rem),1fr));gap:1rem;margin:.8rem 0}
figure{margin:0;background:var(--card);border-radius:6px;overflow:hidden}
figcaption{padding:.5rem .7rem;font-size:.88rem;color:var(--quiet)}
.photo{position:relative;display:block;line-height:0}
.photo img{width:100%;height:auto;display:block}
.photo svg{position:absolute;inset:0;width:100%;height:100%}
.lost{padding:2rem .8rem;color:var(--fault);font-weight:600}
.caution{border-left:4px solid #e69f00;background:var(--card);padding:.55rem .8rem;margin:.45rem 0}
.caution b{margin-right:.4rem}
.quote{border-left:4px solid var(--line);padding:.2rem .8rem;margin:.5rem 0;white-space:pre-line}
.small,footer{color:var(--quiet);font-size:.9rem}
.ring{fill:none;stroke:#fff;stroke-width:3;vector-effect:non-scaling-stroke}.ring.halo{stroke:#000;stroke-width:7;stroke-opacity:.85}
.mark path{pointer-events:all}
.wipe{border:0;margin:.8rem 0;padding:0;max-width:38rem}
.wipe legend{padding:0;color:var(--quiet);font-size:.92rem}
.wipe .stage{position:relative;margin:.4rem 0;border-radius:6px;overflow:hidden}
.wipe .stage .photo:last-of-type{position:absolute;inset:0;transition:clip-path .15s}
.wipe .stops{display:flex;justify-content:space-between;gap:.1rem}
.wipe .stops label{flex:1;display:flex;justify-content:center;min-height:2.4rem;align-items:center}
.wipe input{width:1.15rem;height:1.15rem;margin:0;accent-color:var(--link)}
.wipe .ends{display:flex;justify-content:space-between;font-size:.88rem;color:var(--quiet)}
.plain-pair{display:none}
.hidden{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
@media (prefers-reduced-motion:reduce){.wipe .stage .photo:last-of-type{transition:none}}
@media (max-width:40rem){body{padding:.8rem}dl{grid-template-columns:1fr;gap:0}dd{margin-bottom:.5rem}
table.wide,table.wide tbody,table.wide tr,table.wide td{display:block;width:100%}
table.wide thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
table.wide caption{display:block}
table.wide tr{border:1px solid var(--line);border-radius:6px;padding:.3rem .7rem;margin-bottom:.6rem}
table.wide td{border:0;padding:.1rem 0;display:grid;grid-template-columns:6.5rem minmax(0,1fr);gap:.6rem;overflow-wrap:anywhere}
table.wide td:empty{display:none}
table.wide td::before{content:attr(data-name)!important;color:var(--quiet);font-weight:400}}
@media print{:root{--ground:#fff;--card:#fff;--text:#000;--quiet:#333;--line:#999;--link:#000;--fault:#7a2f00;--lit:#fff}
body{max-width:none;padding:0;font-size:10pt}nav,.wipe{display:none}.plain-pair{display:grid}figure,tr{break-inside:avoid}h2{break-after:avoid}
.row{grid-template-columns:1fr 1fr}.scroll{overflow:visible}}
)";
  for (int stop = 0; stop < wipe_stops; ++stop) {
    const std::string at = std::to_string(stop);
    css += ".wipe:has(.s" + at + ":checked) .stage .photo:last-of-type{clip-path:inset(0 " +
           std::to_string(100 - stop * 100 / (wipe_stops - 1)) + "% 0 0)}\n";
  }
  css += svg_style() + "\n";
  for (const Id& id : marks) {
    const std::string m = mark_class(id);
    // A row under the pointer or with the focus, or one that was jumped to, lights its mark; and back.
    css += "body:has(tr." + m + ":is(:hover,:focus-within,:target)) g." + m +
           " path:not(.halo){stroke:#fff;stroke-width:5;stroke-dasharray:none}body:has(g." + m + ":hover) tr." + m +
           ",tr." + m + ":is(:hover,:focus-within,:target){background:var(--lit)}\n";
  }
  return css;
}

}  // namespace boardlore
