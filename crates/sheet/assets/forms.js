// Forms: a fact is sent as soon as it is changed; other forms are sent in place. Answers come back as blocks.
import { have, lay, refresh, revision, say, show } from './blocks.js';

// Facts that could not be sent yet, by the name of their field; the latest wins.
const waiting = new Map();
// One after another, so that each knows the revision that the one before made.
let queue = Promise.resolve();
const inTurn = (act) => { queue = queue.then(act, act); return queue; };

// When everything that was sent so far is answered.
export const settled = () => queue;

export function watchForms() {
  document.addEventListener('change', (event) => {
    const field = event.target;
    if (field.matches('input[type=file]') && field.form?.matches('[data-upload]')) inTurn(() => upload(field.form));
    else if (field.name?.startsWith('f:') && field.form?.matches('[data-facts]')) changed(field);
    else if (field.form?.matches('[data-at-once]')) field.form.requestSubmit();
  });
  document.addEventListener('submit', (event) => {
    const form = event.target;
    if (form.matches('[data-facts]')) {
      event.preventDefault();
      for (const field of form.elements) {
        if (field.name?.startsWith('f:') && isChanged(field)) changed(field);
      }
    } else if (form.matches('[data-live]')) {
      event.preventDefault();
      inTurn(() => send(form, event.submitter));
    }
  });
  document.addEventListener('click', (event) => {
    if (event.target.closest('[data-print]')) print();
    const link = event.target.closest('a[href^="#"]');
    if (link) reveal(link, event);
  });
  addEventListener('beforeunload', (event) => {
    const isTyping = document.activeElement?.name?.startsWith('f:') && isChanged(document.activeElement);
    if (waiting.size || (isTyping && document.activeElement.form?.matches('[data-facts]'))) event.preventDefault();
  });
}

// Sends again what waited for a connection.
export function sendWaiting() {
  for (const field of [...waiting.values()]) if (field.isConnected) changed(field);
}

const isChanged = (field) => (field.matches('select')
  ? [...field.options].some((option) => option.selected !== option.defaultSelected)
  : field.value !== field.defaultValue);

// A link to a field that is folded away opens what it is folded into.
function reveal(link, event) {
  const id = decodeURIComponent(link.hash.slice(1));
  const target = document.getElementById(id);
  if (!target?.matches('[data-path], [data-path] *')) return;
  event.preventDefault();
  history.replaceState(null, '', link.hash);
  show(id);
}

function changed(field) {
  const form = field.form;
  waiting.set(field.name, field);
  inTurn(async () => {
    if (waiting.get(field.name) !== field) return;
    const sent = field.value;
    const body = new URLSearchParams({
      token: document.body.dataset.token, revision: revision(), have: have(), [field.name]: sent,
    });
    const answer = await post(form.action, body);
    if (!answer) return;
    waiting.delete(field.name);
    const box = field.closest('[data-path]');
    delete box?.dataset.held;
    if (answer.ok && field.value === sent && !field.matches('select')) field.defaultValue = sent;
    await take(answer);
    const now = document.getElementById(box?.id);
    // What was refused stays as it was typed until it is typed otherwise.
    if (now && (answer.status === 422 || answer.status === 409)) now.dataset.held = '';
    if (now && answer.ok) mark(now);
  });
}

function mark(box) {
  box.classList.add('saved');
  setTimeout(() => box.classList.remove('saved'), 1500);
}

async function send(form, submitter) {
  const body = new URLSearchParams(new FormData(form, submitter));
  body.set('have', have());
  if (body.has('revision')) body.set('revision', revision());
  if (submitter) submitter.disabled = true;
  const answer = await post(submitter?.getAttribute('formaction') ?? form.action, body);
  if (submitter) submitter.disabled = false;
  if (!answer) return;
  const isDone = answer.ok;
  // A button at a field settles what was held there.
  if (isDone && submitter?.name?.startsWith('f:')) delete submitter.closest('[data-held]')?.dataset.held;
  await take(answer);
  if (isDone && form.isConnected && form.matches('[data-empties]')) form.reset();
}

const MOST_BYTES = 20 * 1024 * 1024;

async function upload(form) {
  const file = form.querySelector('input[type=file]');
  if (!file.files.length) return;
  if (file.files[0].size > MOST_BYTES) {
    say('That file is larger than 20 MB.');
    file.value = '';
    return;
  }
  say('Sending the photo …');
  const body = new FormData(form);
  // The file goes last: the server reads the rest first.
  body.delete(file.name);
  body.append('have', have());
  body.append(file.name, file.files[0]);
  const answer = await post(form.action, body);
  if (answer?.ok) form.reset();
  else file.value = '';
  if (answer) await take(answer);
}

async function post(path, body) {
  try {
    return await fetch(path, { method: 'POST', body, headers: { 'x-sheet': 'live', accept: 'text/html' } });
  } catch {
    say('Not saved: Backshop does not answer. What you wrote stays here and is sent as soon as it does.');
    return null;
  }
}

async function take(answer) {
  if (answer.redirected) { location.assign(answer.url); return; }
  const text = await answer.text();
  if (lay(text)) return;
  if (answer.status === 403) {
    // The program was started again: its pages have a new token.
    const page = new DOMParser().parseFromString(await (await fetch(location.href)).text(), 'text/html');
    const token = page.body.dataset.token;
    if (token && token !== document.body.dataset.token) {
      document.body.dataset.token = token;
      for (const hidden of document.querySelectorAll('input[name=token]')) hidden.value = token;
      document.body.dataset.revision = page.body.dataset.revision ?? '';
      await refresh();
      sendWaiting();
      say('Backshop was started again; this page goes on.');
      return;
    }
  }
  if (answer.status === 401) { location.reload(); return; }
  say([answer.headers.get('x-problem'), answer.headers.get('x-remedy')].filter(Boolean).join(' '));
}
