// Events: the server tells when something happened; the page asks for what differs.
import { refresh, revision, say } from './blocks.js';
import { sendWaiting, settled } from './forms.js';

let source;

export function keepUpToDate() {
  const path = document.body.dataset.events;
  if (!path) return;
  const open = () => {
    if (source || document.hidden) return;
    source = new EventSource(path);
    source.addEventListener('open', () => { refresh(); sendWaiting(); });
    source.addEventListener('changed', (event) => heard(JSON.parse(event.data)));
    source.addEventListener('progress', () => refresh('run'));
  };
  const close = () => {
    source?.close();
    source = undefined;
  };
  // A page that nobody looks at holds no connection: browsers have only a few for each address.
  document.addEventListener('visibilitychange', () => (document.hidden ? close() : open()));
  addEventListener('pagehide', close);
  addEventListener('pageshow', open);
  open();
}

async function heard(news) {
  // A change of our own may be told before it is answered.
  await settled();
  const isOurs = news.revision !== null && news.revision <= revision();
  await refresh();
  if (!isOurs && news.told) say(news.told);
}
