// A position is dragged to its place on the drawn cabin; the buttons in the table do the same without a pointer.
const cabin = document.querySelector("[data-cabin]");
const form = cabin?.querySelector("[data-move]");

/** Centimetres to one unit of a drawing, along and across. */
const scales = (isTall) => {
  const length = Number(cabin.dataset.length);
  const width = Number(cabin.dataset.width);
  const across = isTall ? 222 / width : 1288 / length;
  return { across, along: isTall ? across * 0.6 : across };
};

const dropped = (target, moved, isTall) => {
  const { along, across } = scales(isTall);
  const [x, y] = isTall ? [moved.y, moved.x] : [moved.x, moved.y];
  form.elements.position.value = target.getAttribute("href").replace("#pos-", "");
  form.elements.along.value = Math.round(x / along);
  form.elements.across.value = Math.round(y / across);
  form.requestSubmit();
};

const draggable = (svg) => {
  const isTall = svg.closest(".plan-tall") !== null;
  let held = null;
  const at = (event) => new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  svg.addEventListener("pointerdown", (event) => {
    const target = event.target.closest(".plan-target");
    if (target) {
      held = { from: at(event), target };
      svg.setPointerCapture(event.pointerId);
      event.preventDefault();
    }
  });
  svg.addEventListener("pointermove", (event) => {
    if (held) {
      const now = at(event);
      held.target.setAttribute("transform", `translate(${now.x - held.from.x} ${now.y - held.from.y})`);
    }
  });
  svg.addEventListener("pointerup", (event) => {
    if (!held) {
      return;
    }
    const now = at(event);
    const moved = { x: now.x - held.from.x, y: now.y - held.from.y };
    const { target } = held;
    held = null;
    if (Math.hypot(moved.x, moved.y) > 4) {
      dropped(target, moved, isTall);
    } else {
      document.querySelector(target.getAttribute("href"))?.scrollIntoView({ block: "center" });
    }
  });
  svg.addEventListener("dragstart", (event) => event.preventDefault());
};

if (form) {
  for (const svg of cabin.querySelectorAll("svg.plan-drawing")) {
    draggable(svg);
  }
}
