// Blocks: pieces of a page that the server renders anew. Each carries a seal of its content; the server sends only those that
// differ. What is swapped in is laid over what is there, so that focus, open details and unsent words stay.
import { furnish, sourceOf } from './furnish.js';

const blocks = () => [...document.querySelectorAll('[data-block]')];

// What the page has, for the server to compare.
export const have = () => blocks().map((block) => `${block.dataset.block}:${block.dataset.seal}`).join(',');

export const revision = () => Number(document.body.dataset.revision ?? 0);

// A sentence for everybody: seen at the foot of the page, spoken by screen readers.
let silence;
export function say(words) {
  const said = document.getElementById('said');
  if (!said || !words) return;
  said.textContent = words;
  clearTimeout(silence);
  silence = setTimeout(() => { said.textContent = ''; }, 7000);
}

// Lays the blocks of an answer over those of the page; tells whether there were any.
export function lay(html) {
  const template = document.createElement('template');
  template.innerHTML = html;
  const answer = template.content.firstElementChild;
  if (!answer?.matches('#blocks')) return false;
  if (answer.dataset.revision) document.body.dataset.revision = answer.dataset.revision;
  for (const fresh of answer.querySelectorAll('[data-block]')) {
    const old = document.getElementById(fresh.id);
    if (old) morph(old, fresh);
  }
  say(answer.dataset.said);
  if (answer.dataset.focus) show(answer.dataset.focus);
  return true;
}

// Asks for whatever differs; `only` restricts it to one block.
export async function refresh(only) {
  const path = document.body.dataset.blocks;
  if (!path) return;
  const query = new URLSearchParams({ have: have() });
  if (only) query.set('only', only);
  const answer = await fetch(`${path}?${query}`, { headers: { accept: 'text/html' } });
  if (answer.status === 200) lay(await answer.text());
  if (answer.status === 401) location.reload();
}

// Opens what an element is folded into, and goes there.
export function show(id) {
  const target = document.getElementById(id);
  if (!target) return;
  for (let at = target; at; at = at.parentElement) if (at.matches('details')) at.open = true;
  const folded = target.querySelector(':scope > details');
  if (folded) folded.open = true;
  const first = target.matches('input, select, textarea, button, summary, a') ? target
    : target.querySelector('input, select, textarea, button, summary') ?? target;
  first.focus({ preventScroll: true });
  target.scrollIntoView({ block: 'center' });
}

const isTyping = (element) => element === document.activeElement && element.value !== element.defaultValue;

function morph(old, fresh) {
  if (sourceOf(old) !== undefined) {
    // A furnished figure has things that the server does not know of: it stays whole or goes whole.
    if (sourceOf(old) !== fresh.outerHTML) {
      old.replaceWith(fresh);
      furnish(fresh);
    }
    return;
  }
  if (old.isEqualNode(fresh) && !(old.matches('input, textarea, select') || old.querySelector('input, textarea, select'))) return;
  if ('held' in old.dataset && !('typed' in fresh.dataset)) return;
  for (const { name } of [...old.attributes]) {
    if (!fresh.hasAttribute(name) && !(name === 'open' && old.matches('details')) && name !== 'data-held' && name !== 'style') old.removeAttribute(name);
  }
  for (const { name, value } of fresh.attributes) if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  if (old.matches('input:not([type=file], [type=hidden])')) {
    if (!isTyping(old)) old.value = fresh.getAttribute('value') ?? '';
    if (old.type === 'checkbox' || old.type === 'radio') old.checked = fresh.hasAttribute('checked');
    return;
  }
  if (old.matches('input[type=hidden]')) { old.value = fresh.value; return; }
  if (old.matches('textarea')) {
    if (!isTyping(old)) { old.textContent = fresh.textContent; old.value = fresh.value; }
    return;
  }
  morphChildren(old, fresh);
  if (old.matches('select') && old !== document.activeElement) {
    const chosen = [...old.options].find((option) => option.hasAttribute('selected'));
    old.value = chosen ? chosen.value : (old.options[0]?.value ?? '');
  }
}

const keyOf = (node) => (node.nodeType === Node.ELEMENT_NODE ? node.id || `<${node.localName}` : `#${node.nodeType}`);

function morphChildren(old, fresh) {
  const byId = new Map([...old.children].filter((child) => child.id).map((child) => [child.id, child]));
  let at = old.firstChild;
  for (const next of [...fresh.childNodes]) {
    const known = next.id ? byId.get(next.id) : undefined;
    if (known) {
      if (known !== at) old.insertBefore(known, at);
      else at = at.nextSibling;
      morph(known, next);
      continue;
    }
    if (at && keyOf(at) === keyOf(next) && !at.id) {
      const here = at;
      at = at.nextSibling;
      if (here.nodeType === Node.ELEMENT_NODE) morph(here, next);
      else if (here.nodeValue !== next.nodeValue) here.nodeValue = next.nodeValue;
      continue;
    }
    old.insertBefore(next, at);
    if (next.nodeType === Node.ELEMENT_NODE) furnish(next);
  }
  while (at) {
    const gone = at;
    at = at.nextSibling;
    gone.remove();
  }
}
