// Furnishing: what a page gets beyond what the server sent. Curves get a reading line that follows finger, mouse and keys.
const sources = new WeakMap();

// The server's own markup of something that was furnished.
export const sourceOf = (element) => sources.get(element);

export function furnish(root) {
  if (root.nodeType !== Node.ELEMENT_NODE && root.nodeType !== Node.DOCUMENT_NODE) return;
  if (root.matches?.('figure.plot')) readable(root);
  for (const figure of root.querySelectorAll('figure.plot')) readable(figure);
  for (const side of root.querySelectorAll('.stage-body > .side')) stays.observe(side);
}

// Answers stay in sight beside the facts that are being changed. Those that are taller than the screen stay by their lower end.
const stays = new ResizeObserver((entries) => {
  for (const { target } of entries) {
    const room = innerHeight - target.offsetHeight - 16;
    target.style.setProperty('--stick', `${Math.min(120, room)}px`);
  }
});

const SVG = 'http://www.w3.org/2000/svg';

function readable(figure) {
  if (sources.has(figure)) return;
  const drawing = figure.querySelector('svg.drawing');
  const area = drawing?.querySelector('svg[data-frequencies]');
  if (!area) return;
  sources.set(figure, figure.outerHTML);
  const box = { left: +area.getAttribute('x'), top: +area.getAttribute('y'), width: +area.getAttribute('width'), height: +area.getAttribute('height') };
  const [least, most] = area.dataset.frequencies.split(' ').map(Number);
  const [low, high] = area.dataset.values.split(' ').map(Number);
  const curves = [...area.querySelectorAll('g[data-label]')].map((group) => ({
    label: group.dataset.label,
    points: (group.querySelector('path')?.getAttribute('d') ?? '').split(/[ML]/).filter(Boolean).map((pair) => pair.split(' ').map(Number)),
  }));
  const line = document.createElementNS(SVG, 'line');
  line.setAttribute('class', 'reading-line');
  line.setAttribute('y1', box.top);
  line.setAttribute('y2', box.top + box.height);
  area.append(line);

  const reader = document.createElement('div');
  reader.className = 'reader';
  const slider = document.createElement('input');
  slider.type = 'range';
  slider.min = 0;
  slider.max = 200;
  slider.value = 100;
  slider.setAttribute('aria-label', `Read values at a frequency: ${figure.querySelector('svg.drawing title')?.textContent ?? ''}`);
  const output = document.createElement('output');
  reader.append(slider, output);
  figure.querySelector('.canvas').after(reader);

  const read = (share) => {
    const x = box.left + share * box.width;
    const hertz = least * (most / least) ** share;
    const values = curves.map(({ label, points }) => {
      const y = heightAt(points, x);
      return y === undefined ? undefined : { label, value: high - ((y - box.top) / box.height) * (high - low) };
    }).filter(Boolean);
    line.setAttribute('x1', x);
    line.setAttribute('x2', x);
    const words = values.map(({ label, value }) => `${label} ${value.toFixed(1).replace('-', '−')} ${area.dataset.unit}`);
    output.textContent = `${spelled(hertz)}: ${words.join(', ') || 'nothing'}`;
    slider.setAttribute('aria-valuetext', output.textContent);
  };
  slider.addEventListener('input', () => read(slider.value / 200));
  const follow = (event) => {
    const bounds = drawing.getBoundingClientRect();
    const x = (event.clientX - bounds.left) / bounds.width * drawing.viewBox.baseVal.width;
    const share = Math.min(1, Math.max(0, (x - box.left) / box.width));
    slider.value = share * 200;
    read(share);
  };
  drawing.addEventListener('pointermove', follow);
  drawing.addEventListener('pointerdown', follow);
  read(0.5);
}

// The height of a curve above a place; nothing where it has none there.
function heightAt(points, x) {
  for (let index = 1; index < points.length; index += 1) {
    const [[x0, y0], [x1, y1]] = [points[index - 1], points[index]];
    if (x0 <= x && x <= x1) return x1 === x0 ? y0 : y0 + (y1 - y0) * (x - x0) / (x1 - x0);
  }
  return undefined;
}

const spelled = (hertz) => (hertz >= 1000 ? `${(hertz / 1000).toPrecision(3)} kHz` : `${hertz.toPrecision(3)} Hz`);
