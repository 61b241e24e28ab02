"use strict";
const SVG = "http://www.w3.org/2000/svg";
const MM = UNITS === "in" ? 2540 : 100; // hundredths of a mm
const table = document.getElementById("submissions");
const body = table.tBodies[0];

function made(name, text, attributes = {}) {
  const one = document.createElement(name);
  if (text !== undefined) one.textContent = text;
  for (const [key, value] of Object.entries(attributes)) one.setAttribute(key, value);
  return one;
}

function drawn(name, attributes) {
  const one = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) one.setAttribute(key, value);
  return one;
}

// up is the axis that goes up on the page: Y in plan, Z from the front
function view(setup, path, marks, up, caption) {
  const low = [Infinity, Infinity], high = [-Infinity, -Infinity];
  for (const [name, ...box] of setup.boxes) {
    if (name === "jaw" && up === 1) continue;
    low[0] = Math.min(low[0], box[0]); high[0] = Math.max(high[0], box[3]);
    low[1] = Math.min(low[1], box[up]); high[1] = Math.max(high[1], box[up + 3]);
  }
  const across = high[0] - low[0], margin = 0.12 * Math.max(across, high[1] - low[1]) + 1500;
  const frame = [low[0] - margin, -high[1] - margin, across + 2 * margin, high[1] - low[1] + 2 * margin];
  const svg = drawn("svg", { viewBox: frame.join(" "), role: "img", "aria-label": `${setup.name}, ${caption}` });
  for (const [name, ...box] of [...setup.boxes].sort((one, other) => (other[0] > one[0]) - (other[0] < one[0]))) {
    const size = { x: box[0], y: -box[up + 3], width: box[3] - box[0], height: box[up + 3] - box[up], class: name };
    if (name !== "finished") svg.append(drawn("rect", size));
  }
  for (const [name, ...box] of setup.boxes) {
    if (name !== "finished") continue;
    svg.append(drawn("rect", { x: box[0], y: -box[up + 3], width: box[3] - box[0], height: box[up + 3] - box[up], class: name }));
  }
  for (const [rapid, ...places] of path || []) {
    const points = [];
    for (let place = 0; place < places.length; place += 3) points.push(`${places[place]},${-places[place + up]}`);
    svg.append(drawn("polyline", { points: points.join(" "), class: rapid ? "rapid" : "feed" }));
  }
  const radius = frame[2] / 50;
  // findings at one place share a balloon
  const balloons = [];
  for (const [number, at] of marks) {
    const x = at[0] * MM, y = -at[up] * MM;
    const near = balloons.find((one) => Math.hypot(one.x - x, one.y - y) < 3 * radius);
    if (near) near.numbers.push(number);
    else balloons.push({ x, y, numbers: [number] });
  }
  for (const { x, y, numbers } of balloons) {
    const text = numbers.join(" "), half = radius * Math.max(1, 0.5 * text.length);
    svg.append(drawn("rect", { x: x - half, y: y - radius, width: 2 * half, height: 2 * radius, rx: radius, class: "mark" }));
    const label = drawn("text", { x, y, "font-size": radius * 1.3 });
    label.textContent = text;
    svg.append(label);
  }
  const figure = made("figure");
  const numbered = marks.length ? "; numbers: the findings below" : "";
  figure.append(svg, made("figcaption", `${setup.name}, ${caption}: feeds solid, rapids dashed${numbered}`));
  return figure;
}

function behind(number) {
  const told = JSON.parse(document.getElementById(`d${number}`).textContent);
  const row = made("tr", undefined, { class: "behind" });
  const cell = made("td", undefined, { colspan: 6 });
  row.append(cell);
  const views = made("div", undefined, { class: "views" });
  told.paths.forEach((path, index) => {
    const setup = SETUPS[index];
    const marks = [];
    told.findings.forEach((one, place) => {
      if (one[4] && one[2] === setup.name && (one[0] === "stop" || one[0] === "reject")) marks.push([place + 1, one[4]]);
    });
    views.append(view(setup, path, marks, 1, "plan"), view(setup, path, marks, 2, "from the front"));
  });
  cell.append(views);
  const list = made("ol");
  for (const [level, code, setup, line, , count, message] of told.findings) {
    const where = [SETUPS.length > 1 ? setup : "", line ? `line ${line}` : "", count > 1 ? `${count} times` : ""];
    const said = where.filter(Boolean).join(", ");
    const item = made("li");
    item.append(made("b", `${level}: ${code}`), ` ${message}${said ? ` (${said})` : ""}`);
    list.append(item);
  }
  cell.append(made("h3", told.findings.length ? "Findings" : "No findings"), list);
  if (told.sizes.length) {
    const sizes = made("table"), head = made("tr");
    for (const one of ["Size", `Lower, ${UNITS}`, `Upper, ${UNITS}`, `Measured, ${UNITS}`, ""]) head.append(made("th", one, { scope: "col" }));
    sizes.append(head);
    for (const [name, lower, upper, measured, ok] of told.sizes) {
      const line = made("tr");
      line.append(made("th", name, { scope: "row" }), ...[lower, upper, measured].map((one) => made("td", one, { class: "number" })), made("td", ok ? "in limits" : "OUT"));
      sizes.append(line);
    }
    cell.append(sizes);
  }
  return row;
}

body.addEventListener("click", (event) => {
  const button = event.target.closest("button[data-row]");
  if (!button) return;
  const row = button.closest("tr"), open = button.getAttribute("aria-expanded") === "true";
  if (open) row.nextElementSibling.remove();
  else row.after(behind(button.dataset.row));
  button.setAttribute("aria-expanded", String(!open));
});

const heads = [...table.tHead.querySelectorAll("th")];
heads.forEach((head, column) => head.querySelector("button").addEventListener("click", () => {
  const falling = head.getAttribute("aria-sort") === "ascending";
  heads.forEach((one) => one.removeAttribute("aria-sort"));
  head.setAttribute("aria-sort", falling ? "descending" : "ascending");
  const way = falling ? -1 : 1;
  const rows = [...body.children].filter((row) => row.dataset.place !== undefined);
  const behinds = new Map(rows.map((row) => [row, row.nextElementSibling?.classList.contains("behind") ? row.nextElementSibling : null]));
  const key = (row) => {
    const cell = row.children[column];
    if (column === 0) return Number(row.dataset.place); // as the report sorts names: part 2 before part 10
    return cell.dataset.sort === undefined ? cell.textContent : Number(cell.dataset.sort);
  };
  const keyed = rows.map((row) => [key(row), Number(row.dataset.place), row]);
  keyed.sort(([a, i], [b, j]) => way * (typeof a === "number" ? a - b : a.localeCompare(b, "en")) || i - j);
  const all = document.createDocumentFragment();
  for (const [, , row] of keyed) all.append(row, ...(behinds.get(row) ? [behinds.get(row)] : []));
  body.append(all);
}));
document.documentElement.dataset.ready = "";
