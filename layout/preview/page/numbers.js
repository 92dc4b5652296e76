// The numbers beside the sheet, set as on paper. Every text is put in as text, never as markup.

const $ = (id) => document.getElementById(id);

export function element(tag, text = "", attributes = {}) {
  const made = document.createElement(tag);
  made.textContent = text;
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  return made;
}

function row(cells, attributes = {}) {
  const made = element("tr", "", attributes);
  const [head, ...rest] = cells;
  made.append(element("th", head, { scope: "row" }));
  for (const [text, kind] of rest) made.append(element("td", text, kind ? { class: kind } : {}));
  return made;
}

// Put rows in the place of those of the same name, so that focus and the reader's place stay.
function dimensionRow(said) {
  const shown = said.value === null ? "" : said.shown + (said.unit === "°" ? "°" : "");
  const change = said.changed ? said.change || "new" : "";
  const cells = [said.words, [shown, "number"], [said.was, "number"], [change, "number"], [said.origin, ""]];
  const made = row(cells, { "data-dimension": said.name, title: said.meaning });
  made.dataset.value = said.value === null ? "" : String(said.value);
  made.tabIndex = -1;
  if (said.changed) {
    made.classList.add("changed");
    made.dataset.was = said.was;
  }
  return made;
}

export function showNumbers(said) {
  const body = $("dimensions").tBodies[0];
  const focused = document.activeElement?.closest?.("tr[data-dimension]")?.dataset.dimension;
  const reached = body.querySelector('tr[tabindex="0"]')?.dataset.dimension;
  body.replaceChildren(...said.rows.map(dimensionRow));
  const entry = body.querySelector(`tr[data-dimension="${reached}"]`) ?? body.rows[0];
  if (entry) entry.tabIndex = 0;
  if (focused) body.querySelector(`tr[data-dimension="${focused}"]`)?.focus({ preventScroll: true });
  $("warnings").replaceChildren(...said.warnings.map((text) => element("li", text)));
  $("warned").hidden = said.warnings.length === 0;
  $("title").textContent = said.title;
  $("mark").textContent = `frame mark ${said.mark}`;
}

export function showClearances(clearances) {
  const gaps = clearances.map((gap) => {
    const made = row([gap.words, [gap.is, "number"], [gap.least, "number"], [gap.short ? "TOO LITTLE" : "ok", ""]]);
    made.title = gap.reason;
    if (gap.short) made.classList.add("short");
    return made;
  });
  $("clearances").tBodies[0].replaceChildren(...gaps);
  $("clearances").hidden = gaps.length === 0;
}

// Faults, one item each; the list is only touched when it is another, so that it is read out once.
export function showFaults(faults) {
  const box = $("faults");
  const now = [...box.querySelectorAll("li")].map((item) => item.textContent);
  if (now.length === faults.length && now.every((text, i) => text === faults[i])) return;
  if (faults.length === 0) return box.replaceChildren();
  const list = document.createElement("ul");
  list.append(...faults.map((text) => element("li", text)));
  box.replaceChildren(list);
}

export function changesInWords(said) {
  const count = said.rows.filter((r) => r.changed).length;
  const what = count === 1 ? "1 dimension changed" : `${count} dimensions changed`;
  return said.save > 1 ? `Save ${said.save}: ${count ? what : "no dimension changed"}.` : "Save 1.";
}
