// The sheet under the glass: moved and zoomed by wheel, fingers and keys. Scale is screen pixels to the mm.

const CLOSEST = 200; // px a mm: a line of 0.25 is then as broad as a finger
const DEFAULT_PX_PER_MM = 96 / 25.4;
const KEPT = "layout-px-per-mm";

export function screenScale() {
  const kept = Number(localStorage.getItem(KEPT));
  return kept > 1 && kept < 40 ? kept : DEFAULT_PX_PER_MM;
}

export function keepScreenScale(scale) {
  localStorage.setItem(KEPT, String(scale));
}

export class View {
  constructor(frame, sheet) {
    this.frame = frame;
    this.sheet = sheet;
    this.size = [1, 1];
    this.scale = 1;
    this.x = 0;
    this.y = 0;
    this.isWhole = true;
    this.fingers = new Map();
    frame.addEventListener("wheel", (e) => this.wheel(e), { passive: false });
    frame.addEventListener("pointerdown", (e) => this.down(e));
    frame.addEventListener("pointermove", (e) => this.move(e));
    for (const end of ["pointerup", "pointercancel", "lostpointercapture"]) {
      frame.addEventListener(end, (e) => this.up(e));
    }
    new ResizeObserver(() => (this.isWhole ? this.whole() : this.place())).observe(frame);
  }

  // Another drawing: one that is turned to is shown whole; a new one stays where the eye is, by `moved` mm.
  show(size, moved) {
    this.size = size;
    if (moved === null || this.isWhole) return this.whole();
    this.x -= moved[0] * this.scale;
    this.y -= moved[1] * this.scale;
    this.place();
  }

  get room() {
    return [this.frame.clientWidth, this.frame.clientHeight];
  }

  get wholeScale() {
    const margin = 8;
    return Math.max(0.01, Math.min(...this.room.map((px, i) => (px - 2 * margin) / this.size[i])));
  }

  whole() {
    this.scale = this.wholeScale;
    [this.x, this.y] = this.room.map((px, i) => (px - this.size[i] * this.scale) / 2);
    this.isWhole = true;
    this.place();
  }

  // Zoom so that what lies under the screen point stays under it.
  zoom(factor, at = this.room.map((px) => px / 2)) {
    const scale = Math.min(CLOSEST, Math.max(this.wholeScale / 2, this.scale * factor));
    const grown = scale / this.scale;
    this.x = at[0] - (at[0] - this.x) * grown;
    this.y = at[1] - (at[1] - this.y) * grown;
    this.scale = scale;
    this.isWhole = false;
    this.place();
  }

  // Bring a point of the sheet, in mm, to the middle at a scale.
  centre(point, scale) {
    this.scale = scale;
    [this.x, this.y] = this.room.map((px, i) => px / 2 - point[i] * scale);
    this.isWhole = false;
    this.place();
  }

  pan(dx, dy) {
    this.x += dx;
    this.y += dy;
    this.isWhole = false;
    this.place();
  }

  place() {
    // Some of the sheet always stays in sight.
    const seen = 40;
    const [width, height] = this.room;
    this.x = Math.min(width - seen, Math.max(seen - this.size[0] * this.scale, this.x));
    this.y = Math.min(height - seen, Math.max(seen - this.size[1] * this.scale, this.y));
    const style = this.sheet.style;
    style.width = `${this.size[0] * this.scale}px`;
    style.height = `${this.size[1] * this.scale}px`;
    style.transform = `translate(${this.x}px, ${this.y}px)`;
    style.setProperty("--k", String(1 / this.scale));
    this.frame.dataset.scale = this.scale.toFixed(4);
  }

  at(e) {
    const box = this.frame.getBoundingClientRect();
    return [e.clientX - box.left, e.clientY - box.top];
  }

  wheel(e) {
    e.preventDefault();
    const lines = e.deltaMode === 1 ? 16 : 1;
    // A pinch on a touchpad comes as a wheel with Ctrl, in small steps.
    const step = e.deltaY * lines * (e.ctrlKey ? 0.01 : 0.0015);
    this.zoom(Math.exp(-Math.max(-0.6, Math.min(0.6, step))), this.at(e));
  }

  down(e) {
    if (e.button > 0) return;
    this.fingers.set(e.pointerId, this.at(e));
    this.moved = 0;
  }

  move(e) {
    const before = this.fingers.get(e.pointerId);
    if (!before) return;
    const now = this.at(e);
    const step = [now[0] - before[0], now[1] - before[1]];
    this.moved += Math.hypot(...step);
    if (this.fingers.size === 1) {
      if (this.moved < 4) return;
      if (!this.frame.hasPointerCapture(e.pointerId)) this.frame.setPointerCapture(e.pointerId);
      this.frame.classList.add("dragging");
      this.pan(...step);
    } else {
      const other = [...this.fingers].find(([id]) => id !== e.pointerId)[1];
      const apart = (p) => Math.hypot(p[0] - other[0], p[1] - other[1]) || 1;
      this.zoom(apart(now) / apart(before), other);
    }
    this.fingers.set(e.pointerId, now);
  }

  up(e) {
    this.fingers.delete(e.pointerId);
    this.frame.classList.remove("dragging");
  }
}
