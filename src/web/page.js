// The local page: gathers files and choices, sends them in one piece, shows what comes back as plain text.
"use strict";
(() => {
  const byId = (id) => document.getElementById(id);
  /** What the server takes in one request, bytes. */
  const LARGEST = 128 * 1024 * 1024;
  const ROLES = { readings: "readings", job: "job file", outline: "outline", material: "material sheet", lines: "sample lines", hand: "edges laid by hand", other: "named by the job" };
  /** [{file, role}], in the order chosen. */
  let chosen = [];

  // --- files ------------------------------------------------------------------------------------
  async function roleOf(file) {
    const end = file.name.toLowerCase().split(".").pop();
    if (end === "svg" || end === "png") return "other";
    if (!["toml", "csv", "tsv", "txt"].includes(end)) return "readings";
    const start = await file.slice(0, 65536).text();
    if (end === "toml") return /^\s*\[\[\s*readings\s*\]\]/m.test(start) ? "job" : "material";
    if (/^\uFEFF?\s*"?no\.?"?\s*[,;\t]\s*"?edge"?\s*[,;\t]/i.test(start)) return "hand";
    return start.split(/\r?\n/).slice(0, 100).some(headsOutline) ? "outline" : "readings";
  }

  /** Whether a line heads an outline: x and y, and beside them only what an outline's columns are called. */
  const OUTLINE = ["kind", "type", "what", "name", "label", "x", "y", "width", "clear width", "under cut", "undercut", "adjoining reading", "adjoining",
    "adjoining elevation", "limit reading", "limit", "limit elevation", "set up", "setup", "note", "notes", "remark", "remarks", "comment", "comments"];
  const UNIT = /[\s(\[]+(ft|feet|foot|in|inch|inches|m|cm|mm|metres?|meters?)[)\]]*$/;
  function headsOutline(line) {
    const plain = (cell) => cell.replace(/^\uFEFF/, "").replaceAll('"', "").toLowerCase().replace(/[_-]+/g, " ").trim().replace(UNIT, "").trim();
    const heads = line.split(/[,;\t|]/).map(plain).filter(Boolean);
    return heads.includes("x") && heads.includes("y") && heads.every((h) => OUTLINE.includes(h));
  }

  async function take(list) {
    for (const file of list) {
      const role = await roleOf(file);
      const same = chosen.find((c) => c.file.name === file.name);
      // A browser tells no folders: which of two files of one name is meant would be a guess.
      if (same && (same.file.size !== file.size || same.file.lastModified !== file.lastModified)) {
        trouble(`Another file called ${file.name} is chosen already. Remove it first if this one is to take its place, or rename one of them.`);
      } else if (!same) chosen.push({ file, role });
    }
    showChosen();
  }

  function showChosen() {
    byId("chosen").replaceChildren(...chosen.map((c, i) => {
      const li = document.createElement("li");
      const name = document.createElement("span");
      name.className = "name";
      name.textContent = `${c.file.name} (${size(c.file.size)})`;
      const select = document.createElement("select");
      select.setAttribute("aria-label", `What ${c.file.name} is`);
      for (const [value, words] of Object.entries(ROLES)) {
        select.add(new Option(words, value, false, value === c.role));
      }
      select.addEventListener("change", () => { c.role = select.value; });
      const away = document.createElement("button");
      away.type = "button";
      away.textContent = "Remove";
      away.setAttribute("aria-label", `Remove ${c.file.name}`);
      away.addEventListener("click", () => { chosen.splice(i, 1); showChosen(); });
      li.append(name, select, away);
      return li;
    }));
  }

  const size = (bytes) => bytes < 1024 ? `${bytes} bytes`
    : bytes < 1048576 ? `${Math.ceil(bytes / 1024)} kB` : `${(bytes / 1048576).toFixed(1)} MB`;

  byId("files").addEventListener("change", (e) => { take([...e.target.files]); e.target.value = ""; });
  const drop = byId("drop");
  for (const kind of ["dragenter", "dragover"]) {
    document.addEventListener(kind, (e) => { e.preventDefault(); drop.classList.add("over"); });
  }
  document.addEventListener("dragleave", () => drop.classList.remove("over"));
  document.addEventListener("drop", (e) => {
    e.preventDefault();
    drop.classList.remove("over");
    take([...e.dataTransfer.files]);
  });

  // --- checks -----------------------------------------------------------------------------------
  fetch("checks").then((r) => r.json()).then((list) => {
    byId("checks-box").hidden = list.length === 0;
    byId("checks").replaceChildren(...list.map(({ name, title }) => {
      const label = document.createElement("label");
      const box = document.createElement("input");
      box.type = "checkbox";
      box.value = name;
      label.append(box, title);
      return label;
    }));
  }).catch(() => {});

  // --- asking -----------------------------------------------------------------------------------
  function choices() {
    const text = (id) => byId(id).value.trim() || null;
    const role = (r) => chosen.find((c) => c.role === r)?.file.name ?? null;
    const number = (id) => byId(id).value === "" ? null : Number(byId(id).value);
    const own = text("own-check");
    return {
      about: { title: text("title"), place: text("place"), who: text("who"), when: text("when") },
      reading: {
        plan_unit: text("plan-unit"), reading_unit: text("reading-unit"), meaning: text("meaning"), layout: text("layout"),
        spacing: text("spacing"), first_row: text("first-row"), x_runs: text("x-runs"), room: text("room"), sheet: text("sheet"),
        dates_as_fractions: byId("dates").checked, units: text("units"),
      },
      edge: {
        spans: byId("spans").value.split(/[,;\n]/).map((s) => s.trim()).filter(Boolean),
        checks: [...document.querySelectorAll("#checks input:checked")].map((b) => b.value).concat(own ? [own] : []),
        tolerance: text("tolerance"), draws: number("draws"), repeatability: text("repeatability"),
      },
      fill: {
        gauge: text("gauge"), level_at: text("level-at"), fall: text("fall"), fall_from: text("fall-from"), fall_to: text("fall-to"),
        least_fill: byId("least-fill").checked, deep: byId("deep").checked, framed: byId("framed").checked,
        waste: number("waste"), bags: number("bags"), rake: text("rake"), cover: text("cover"), grind: text("grind"),
        base_depth: text("base-depth"),
      },
      paper: text("paper"), with: byId("with-quantities").checked ? ["quantities"] : [],
      files: { outline: role("outline"), material: role("material"), lines: role("lines"), hand: role("hand") },
    };
  }

  async function compose() {
    const main = chosen.find((c) => c.role === "job") ?? chosen.find((c) => c.role === "readings");
    const header = new TextEncoder().encode(JSON.stringify({
      files: chosen.map(({ file }) => ({ name: file.name, size: file.size })),
      main: main?.file.name ?? "", options: choices(),
    }));
    const length = new Uint8Array(4);
    new DataView(length.buffer).setUint32(0, header.length, true);
    return new Blob([length, header, ...chosen.map(({ file }) => file)], { type: "application/octet-stream" });
  }

  byId("job").addEventListener("submit", async (e) => {
    e.preventDefault();
    if (!chosen.some((c) => c.role === "job" || c.role === "readings")) {
      trouble("Choose a readings file first (or a job.toml with the files it names).");
      return;
    }
    // Refused here, since a server that hangs up in the middle of an upload cannot say why.
    if (chosen.reduce((sum, { file }) => sum + file.size, 0) > LARGEST - 1048576) {
      trouble("The files are too large for this page: at most 127 MB together. Use the command line for them.");
      return;
    }
    byId("go").disabled = true;
    byId("status").textContent = "Working…";
    byId("trouble").hidden = true;
    byId("answer").hidden = true;
    try {
      const reply = await fetch("answer", {
        method: "POST", body: await compose(), headers: { "Content-Type": "application/octet-stream" },
      });
      if (reply.ok) show(await reply.json());
      else trouble(await reply.text());
    } catch {
      trouble("The program does not answer. See whether it still runs where it was started, and that the files are still where they were.");
    } finally {
      byId("go").disabled = false;
      byId("status").textContent = "";
    }
  });

  function trouble(text) {
    byId("trouble").textContent = text;
    byId("trouble").hidden = false;
    byId("trouble").scrollIntoView({ block: "nearest" });
  }

  // --- showing ----------------------------------------------------------------------------------
  function link(href, words, kind) {
    const a = document.createElement("a");
    a.href = href;
    a.className = kind;
    a.textContent = words;
    return a;
  }

  function show({ parts, files }) {
    byId("parts").replaceChildren(...parts.map(({ heading, lines }) => {
      const section = document.createElement("section");
      const h = document.createElement("h2");
      h.textContent = heading;
      section.append(h, ...lines.map((line) => {
        const p = document.createElement("p");
        p.textContent = line;
        return p;
      }));
      return section;
    }));
    const map = files.find((f) => f.kind === "image/svg+xml");
    byId("picture").hidden = !map;
    if (map) {
      byId("map").src = map.href;
      byId("map").alt = `Drawing ${map.name}`;
      byId("map-name").textContent = map.name;
    }
    const page = files.find((f) => f.kind.startsWith("text/html"));
    byId("open").replaceChildren();
    if (page) {
      const a = link(page.href, "Open the floor: read depths, lay an edge", "save first");
      a.target = "_blank";
      a.rel = "noopener";
      byId("open").append(a);
    }
    byId("files-out").hidden = files.length === 0;
    byId("files-out").tBodies[0].replaceChildren(...files.map((f) => {
      const tr = document.createElement("tr");
      const cells = [0, 1, 2].map(() => document.createElement("td"));
      const view = link(f.href, f.name, "");
      view.target = "_blank";
      view.rel = "noopener";
      cells[0].append(view);
      cells[1].textContent = size(f.size);
      const save = link(f.href + "?save=1", "Save", "save");
      save.setAttribute("download", f.name);
      save.setAttribute("aria-label", `Save ${f.name}`);
      cells[2].append(save);
      tr.append(...cells);
      return tr;
    }));
    byId("answer").hidden = false;
    byId("answer").focus({ preventScroll: true });
    byId("answer").scrollIntoView({ block: "start" });
  }
})();
