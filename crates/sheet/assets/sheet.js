// The bench sheet's own modules: edit in place, see others' changes, read values off curves.
// Every page works without them; nothing here decides anything.
import { keepUpToDate } from './events.js';
import { watchForms } from './forms.js';
import { furnish } from './furnish.js';

document.documentElement.classList.add('live');
furnish(document);
watchForms();
keepUpToDate();
