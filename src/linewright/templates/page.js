// The board follows the reading. All positions and drawings come from the page's own data.
(() => {
  "use strict";
  const root = document.documentElement;
  const data = JSON.parse(document.getElementById("lesson").textContent);
  const stops = data.stops;
  const NS = "http://www.w3.org/2000/svg";
  const panel = document.getElementById("panel");
  const holder = document.getElementById("board");
  const caption = document.getElementById("caption");
  const status = document.getElementById("status");
  const [first, back, next, last, turn] = panel.querySelectorAll(".bar button");
  const spans = [...document.querySelectorAll("[data-stop]")];
  const spanOf = new Map(spans.map((span) => [Number(span.dataset.stop), span]));
  const names = { k: "king", q: "queen", r: "rook", b: "bishop", n: "knight", p: "pawn" };
  let now = 0;
  let flipped = data.flipped;

  const svg = document.createElementNS(NS, "svg");
  svg.setAttribute("viewBox", data.view);
  svg.setAttribute("role", "img");
  const layer = (name) => {
    const group = document.createElementNS(NS, "g");
    group.setAttribute("class", name);
    svg.append(group);
    return group;
  };
  const [ground, sign, under, men, over] = ["ground", "sign", "under", "pieces", "over"].map(layer);
  holder.replaceChildren(svg);

  const placed = (placement) => {
    const found = new Map();
    placement.split("/").forEach((rank, row) => {
      let file = 0;
      for (const letter of rank) {
        if (letter >= "1" && letter <= "8") file += Number(letter);
        else found.set("abcdefgh"[file++] + (8 - row), letter);
      }
    });
    return found;
  };
  const corner = (square) => {
    const x = "abcdefgh".indexOf(square[0]) * 100;
    const y = (8 - Number(square[1])) * 100;
    return flipped ? [700 - x, 700 - y] : [x, y];
  };
  const at = (square, drawing) => {
    const [x, y] = corner(square);
    return `<g transform="translate(${x} ${y})">${drawing}</g>`;
  };
  const side = (men, white) => {
    const said = [];
    for (const [letter, name] of Object.entries(names)) {
      const wanted = white ? letter.toUpperCase() : letter;
      const squares = [...men].filter(([, piece]) => piece === wanted).map(([square]) => square).sort();
      if (squares.length) said.push(`${name}${squares.length > 1 ? "s" : ""} ${squares.join(" ")}`);
    }
    return said.join(", ") || "no pieces";
  };

  let shown = new Map();
  const move = (target) => {
    // Pieces that stay keep their element; one that moves takes its element along.
    const free = new Map([...shown].filter(([square, { letter }]) => target.get(square) !== letter));
    const after = new Map();
    for (const [square, letter] of target) {
      const kept = shown.get(square);
      if (kept && kept.letter === letter) after.set(square, kept);
    }
    for (const [square, letter] of target) {
      if (after.has(square)) continue;
      const from = [...free].find(([, piece]) => piece.letter === letter);
      let piece = from && from[1];
      if (from) free.delete(from[0]);
      else {
        piece = { letter, element: document.createElementNS(NS, "use") };
        piece.element.setAttribute("href", `#lw${letter}t`);
      }
      men.append(piece.element);
      after.set(square, piece);
    }
    for (const { element } of free.values()) element.remove();
    for (const [square, { element }] of after) {
      const [x, y] = corner(square);
      element.style.transform = `translate(${x}px,${y}px)`;
    }
    shown = after;
  };

  const words = (stop, target) => {
    const told = stop.i ? ["Imagined board."] : [];
    told.push(`White: ${side(target, true)}.`, `Black: ${side(target, false)}.`);
    told.push(`${stop.t === "w" ? "White" : "Black"} to move.`);
    if (stop.m.length) told.push(`Shown: ${stop.m.map((key) => data.marks[key].words).join("; ")}.`);
    return told.join(" ");
  };

  const show = (index, spoken) => {
    const stop = stops[index];
    const target = placed(stop.f);
    ground.innerHTML = data.grounds[(flipped ? 1 : 0) + (stop.i ? 2 : 0)];
    sign.innerHTML = data.turns[(stop.t === "w" ? 0 : 1) + (flipped ? 2 : 0)];
    move(target);
    const marks = stop.m.map((key) => data.marks[key]);
    const corners = stop.l && !marks.length ? [stop.l.slice(0, 2), stop.l.slice(2, 4)] : [];
    under.innerHTML = corners.map((square) => at(square, data.last)).join("")
      + marks.filter((mark) => mark.at).map((mark) => at(mark.at, mark.svg)).join("");
    over.innerHTML = marks.filter((mark) => !mark.at).map((mark) => mark.svg).join("");
    over.setAttribute("transform", flipped ? "rotate(180 400 400)" : "");
    svg.setAttribute("aria-label", words(stop, target));
    caption.replaceChildren(Object.assign(document.createElement("b"), { textContent: stop.c }));
    if (stop.w) caption.append(Object.assign(document.createElement("span"), { textContent: stop.w }));
    const before = spanOf.get(now);
    if (before) {
      before.classList.remove("now");
      before.removeAttribute("aria-current");
      if (before.getAttribute("role")) before.tabIndex = -1;
    }
    const here = spanOf.get(index);
    if (here) {
      here.classList.add("now");
      here.setAttribute("aria-current", "true");
      if (here.getAttribute("role")) here.tabIndex = 0;
    }
    now = index;
    for (const button of [first, back]) button.setAttribute("aria-disabled", String(index === 0));
    for (const button of [next, last]) button.setAttribute("aria-disabled", String(index === stops.length - 1));
    if (spoken) {
      const shownMarks = marks.map((mark) => mark.words).join("; ");
      status.textContent = `${stop.c}. ${stop.w ? stop.w + ". " : ""}${shownMarks ? `Shown: ${shownMarks}.` : ""}`;
    }
  };

  // Going somewhere by hand holds the following of the scroll until the page rests.
  let held = 0;
  const quiet = matchMedia("(prefers-reduced-motion:reduce)");
  const go = (index, keepFocus) => {
    const wanted = Math.max(0, Math.min(stops.length - 1, index));
    const onStop = document.activeElement && document.activeElement.dataset.stop !== undefined;
    show(wanted, true);
    const span = spanOf.get(wanted) || document.body;
    held = Date.now() + 900;
    const box = span.getBoundingClientRect();
    const top = reserved() + 24;
    if (wanted === 0) scrollTo({ top: 0, behavior: quiet.matches ? "auto" : "smooth" });
    else if (box.top < top || box.bottom > innerHeight - 24) {
      const middle = top + (innerHeight - top) * 0.35;
      scrollBy({ top: box.top - middle, behavior: quiet.matches ? "auto" : "smooth" });
    }
    if (onStop && !keepFocus && spanOf.get(wanted)) span.focus({ preventScroll: true });
  };
  // The height a narrow screen gives to the board, which covers the text.
  const reserved = () => {
    const box = panel.getBoundingClientRect();
    const wide = box.width < innerWidth * 0.75;
    return wide ? 0 : Math.max(0, Math.min(box.bottom, panel.offsetHeight));
  };
  // The stop before or after this one; where a side line only closes there is nothing to see. A
  // box of moves is for looking up: the way through the words leads past it.
  const beside = (way) => {
    const inside = stops[now].x;
    let index = now + way;
    while (stops[index] && (stops[index].b || (stops[index].x && !inside))) index += way;
    return stops[index] ? index : now;
  };
  const follow = () => {
    if (Date.now() < held) return;
    const room = document.documentElement.scrollHeight - innerHeight;
    const share = room > 0 ? Math.min(1, Math.max(0, scrollY / room)) : 0;
    const top = reserved();
    const line = top + (innerHeight - top) * (0.18 + 0.7 * share);
    let found = 0;
    for (const span of spans) {
      if (span.getBoundingClientRect().top > line) break;
      if (!stops[span.dataset.stop].x) found = Number(span.dataset.stop);
    }
    if (room > 8 && room - scrollY < 4) found = stops.length - 1;
    if (scrollY < 8) found = 0;
    if (found !== now) show(found, false);
  };
  let waiting = false;
  addEventListener("scroll", () => {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => { waiting = false; follow(); });
  }, { passive: true });
  for (const kind of ["wheel", "touchmove"]) addEventListener(kind, () => { held = 0; }, { passive: true });

  for (const span of spans) {
    if (!span.textContent || stops[span.dataset.stop].b) continue;
    span.classList.add("stop");
    if (!span.querySelector("[data-stop]")) {
      span.setAttribute("role", "button");
      span.tabIndex = -1;
    }
    span.addEventListener("click", (event) => {
      event.stopPropagation();
      go(Number(span.dataset.stop), true);
    });
    span.addEventListener("keydown", (event) => {
      if (event.target !== span || (event.key !== "Enter" && event.key !== " ")) return;
      event.preventDefault();
      go(Number(span.dataset.stop), true);
    });
  }
  first.addEventListener("click", () => go(0));
  back.addEventListener("click", () => go(beside(-1)));
  next.addEventListener("click", () => go(beside(1)));
  last.addEventListener("click", () => go(stops.length - 1));
  turn.addEventListener("click", () => {
    flipped = !flipped;
    turn.setAttribute("aria-pressed", String(flipped !== data.flipped));
    show(now, false);
    status.textContent = `The board is seen from ${flipped ? "Black" : "White"}'s side.`;
  });
  addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
    if (event.target.closest && event.target.closest("input,textarea,select,pre")) return;
    if (event.key === "Home" || event.key === "End") {
      // The browser scrolls to the edge of the page; the board goes there at once.
      held = Date.now() + 900;
      show(event.key === "Home" ? 0 : stops.length - 1, true);
      return;
    }
    if (["PageUp", "PageDown", "ArrowUp", "ArrowDown", " "].includes(event.key)) held = 0;
    if (event.key !== "ArrowLeft" && event.key !== "ArrowRight") return;
    event.preventDefault();
    go(beside(event.key === "ArrowLeft" ? -1 : 1));
  });

  root.classList.add("js");
  show(0, false);
  follow();
})();
