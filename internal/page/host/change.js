// The part of the page that changes the plan. What it says comes from the page
// and the engine.
(() => {
  const part = document.getElementById('change'), nothing = { changes: new Map(), readings: [] };
  const main = document.querySelector('main');
  const byId = (id) => document.getElementById(id);
  const shoot = byId('shoot').textContent, anywhere = JSON.parse(shoot).anywhere;
  let run, state = nothing, past = [], busy = false, again = false, ticking = 0;
  let entry = null, timed = false; // a reading to be planned by; that its time was set by hand
  const fields = new Map(); // by flag: control, input, note, wrong

  // begun returns the engine's function, started where it is not.
  function begun() {
    run = run || (async () => {
      const call = connected();
      const packed = byId('engine');
      await call('start', { text: packed.textContent, size: Number(packed.dataset.size) });
      return call;
    })();
    return run;
  }

  const printed = (flag) => fields.get(flag).control.printed;

  // zones are the rules of the zone on a page for any place and day.
  function zones() {
    if (!anywhere || !fields.has('tz')) return [];
    return zoneRules(state.changes.get('tz') || printed('tz'),
      Number((state.changes.get('date') || printed('date')).slice(0, 4)));
  }

  async function plan() {
    const changes = [...state.changes].map(([flag, value]) => ({ flag, value }));
    const over = JSON.stringify({ changes, readings: state.readings, reading: entry, zones: zones() });
    const call = await begun();
    return JSON.parse(await call('plan', '{"shoot":' + shoot + ',' + over.slice(1)));
  }

  // replan makes the plan anew; what is changed meanwhile comes right after.
  async function replan() {
    if (busy) { again = true; return; }
    busy = true;
    part.setAttribute('aria-busy', 'true');
    try {
      do {
        again = false;
        const since = performance.now(), read = entry;
        const response = await plan();
        if (entry === read) entry = null;
        if (response.faults) {
          refused(response.faults);
        } else {
          if (read) took(response.metering.taken.at(-1).line);
          await show(response);
        }
        performance.measure('replanned', { start: since });
      } while (again);
    } catch (error) {
      run = null; // started anew with the next change
      console.error(String(error));
      said(part.dataset.failed);
    }
    busy = false;
    part.removeAttribute('aria-busy');
  }

  function said(...texts) { byId('said').replaceChildren(...broken(texts)); }

  // took keeps a reading that was planned by, as a log has it, and clears its fields.
  function took(line) {
    past.push(state);
    keep({ ...state, readings: [...state.readings.filter((one) => one !== line), line] });
    fields.get('reading').input.value = '';
    timed = false;
  }

  async function show(response) {
    build(response);
    said();
    const folds = () => [...main.querySelectorAll('section:not(#change) details')];
    const before = part.getBoundingClientRect().top, open = folds().map((d) => d.open);
    for (const node of [...main.childNodes]) if (node !== part) node.remove();
    const [first, ...rest] = sections(response.title, response.blocks);
    part.before(element('h1', {}, response.title), first);
    part.after(...rest);
    folds().forEach((d, i) => { d.open = open[i] || false; });
    if (part.hidden) {
      part.hidden = false;
    } else {
      window.scrollBy(0, part.getBoundingClientRect().top - before); // what was touched stays where it is
    }
    document.title = response.title;
    byId('moved').replaceChildren(...(response.moved || []).map((b) => shown(b, byId('moves').firstChild.textContent)));
    byId('moves').hidden = !response.moved;
    const answer = response.blocks.find((b) => b.strong);
    byId('answered').replaceChildren(...(changed() && answer ? [toned(answer)] : []));
    offer();
    if (ticking) await tick();
    await clock();
  }

  const changed = () => state.changes.size + state.readings.length > 0;

  // offer lets be taken back what can be.
  function offer() {
    byId('back').disabled = past.length === 0;
    byId('printed').disabled = !changed();
  }

  // refused says what is wrong, each beside its field.
  function refused(faults) {
    for (const f of fields.values()) wrong(f);
    const others = [part.dataset.refused];
    byId('controls').open = true;
    for (const fault of faults) {
      const texts = fault.hint ? [fault.text, part.dataset.hint + ' ' + fault.hint] : [fault.text];
      if (fields.has(fault.field)) wrong(fields.get(fault.field), texts); else others.push(...texts);
    }
    byId('answered').replaceChildren(...broken(others));
    offer();
  }

  function wrong(field, texts = []) {
    field.wrong.replaceChildren(...broken(texts));
    field.input.toggleAttribute('aria-invalid', texts.length > 0);
    if (texts.length) field.input.setAttribute('aria-invalid', 'true');
  }

  // build makes the fields once, and sets them to the plan each time.
  function build({ controls, metering }) {
    if (!fields.has('reading')) {
      byId('metering').prepend(grouped(metering, metering.controls));
      fields.get('reading').input.addEventListener('focus', clock);
      fields.get('time').input.addEventListener('input', () => { timed = true; });
    }
    metering.controls.forEach((control) => wrong(fields.get(control.flag)));
    byId('readings').replaceChildren(...metering.taken.map(reading));
    byId('adjusted').replaceChildren(...(metering.adjusted ? [toned(metering.adjusted)] : []));
    for (const group of controls) {
      const missing = group.controls.filter((c) => !fields.has(c.flag));
      if (missing.length) byId('changes').append(grouped(group, missing, change));
      for (const control of group.controls) {
        const f = fields.get(control.flag);
        f.control = control;
        wrong(f);
        if (f.input !== document.activeElement || control.kind === 'choice') f.input.value = control.value;
        f.note.textContent = control.note || '';
      }
    }
  }

  function grouped(group, controls, changed) {
    return element('fieldset', {}, element('legend', {}, group.name), controls.map((c) => field(c, changed)));
  }

  // reading is one that is planned by, and what takes it away.
  function reading({ line, text }, i) {
    const id = 'reading-' + i, away = element('button', { type: 'button', 'aria-describedby': id }, part.dataset.away);
    away.addEventListener('click', () => {
      become({ ...state, readings: state.readings.filter((one) => one !== line) });
    });
    return element('li', {}, element('span', { id }, text), away);
  }

  function field(control, changed) {
    const id = 'c-' + control.flag, note = element('small', { id: id + '-note' });
    const wrong = element('small', { id: id + '-wrong', class: 'bad' });
    const attributes = { id, 'aria-describedby': id + '-note ' + id + '-wrong', autocomplete: 'off' };
    const options = (control.choices || []).map((c) => element('option', { value: c.value || undefined }, c.label));
    options.forEach((o, i) => { o.value = control.choices[i].value; });
    let input, list = [];
    if (control.kind === 'choice') {
      input = element('select', attributes, options);
    } else {
      input = element('input', { ...attributes, type: control.kind, min: control.low, max: control.high,
        step: control.step, inputmode: control.kind === 'number' && !(control.low < 0) ? 'decimal' : '',
        list: options.length ? id + '-list' : '' });
      if (options.length) list = [element('datalist', { id: id + '-list' }, options)];
    }
    if (changed) {
      input.addEventListener('change', () => {
        if (!input.validity.badInput) changed(control.flag, input.value.trim());
      });
    }
    fields.set(control.flag, { control, input, note, wrong });
    return element('div', {}, element('label', { for: id }, control.label), input, list, note, wrong);
  }

  // change sets one value; the same as printed is none.
  function change(flag, value) {
    const next = new Map(state.changes), control = fields.get(flag).control;
    for (const rival of control.rivals || []) next.delete(rival);
    if (value === '' || value === control.printed) next.delete(flag); else next.set(flag, value);
    if (flag === 'at' && next.has('at') && !next.has('tz')) {
      const own = Intl.DateTimeFormat().resolvedOptions().timeZone;
      if (own && own !== printed('tz')) next.set('tz', own);
    }
    become({ ...state, changes: next });
  }

  function become(next, back = true) {
    if (back) past.push(state);
    keep(next);
    replan();
  }

  // keep keeps what is laid over the plan for when the page is opened again.
  function keep(next) {
    state = next;
    const { key } = part.dataset, kept = JSON.stringify({ ...state, changes: [...state.changes] });
    try {
      if (changed()) localStorage.setItem(key, kept); else localStorage.removeItem(key);
    } catch (error) { /* not every browser lets a file keep anything */ }
  }

  async function present(seconds) { return JSON.parse(await (await begun())('now', seconds)); }

  // clock sets the time of a reading to the phone's where that is in the window.
  async function clock() {
    const { input } = fields.get('time');
    const { inside, clock } = await present(Math.floor(Date.now() / 1000));
    if (!timed && input !== document.activeElement) input.value = inside ? clock : '';
  }

  // tick marks what counts by the phone's clock.
  async function tick() {
    const seconds = Math.floor(Date.now() / 1000), { lines, inside } = await present(seconds);
    byId('present').replaceChildren(...broken(lines || []));
    for (const body of main.querySelectorAll('tbody')) {
      const rows = [...body.querySelectorAll('tr[data-at]')];
      const past = rows.filter((row) => Number(row.dataset.at) <= seconds);
      const last = inside && past.length ? past[past.length - 1].dataset.at : '';
      for (const row of rows) {
        if (row.dataset.at === last) row.setAttribute('aria-current', 'time'); else row.removeAttribute('aria-current');
      }
    }
  }

  byId('now').addEventListener('click', () => {
    const on = !ticking;
    clearInterval(ticking);
    ticking = on ? setInterval(tick, 5000) : 0;
    byId('now').setAttribute('aria-pressed', String(on));
    if (on) { tick(); return; }
    byId('present').replaceChildren();
    main.querySelectorAll('[aria-current]').forEach((row) => row.removeAttribute('aria-current'));
  });
  byId('back').addEventListener('click', () => { if (past.length) become(past.pop(), false); });
  byId('printed').addEventListener('click', () => become(nothing));
  if (anywhere) {
    byId('here').addEventListener('click', () => {
      const failed = () => said(part.dataset.nowhere);
      if (!navigator.geolocation) { failed(); return; }
      navigator.geolocation.getCurrentPosition(({ coords }) => {
        change('at', coords.latitude.toFixed(4) + ',' + coords.longitude.toFixed(4));
      }, failed);
    });
  }
  byId('changes').addEventListener('submit', (event) => event.preventDefault());
  byId('metering').addEventListener('submit', (event) => {
    event.preventDefault();
    const [value, plane, time] = ['reading', 'plane', 'time'].map((flag) => fields.get(flag).input.value);
    entry = { value, plane, time };
    replan();
  });
  // The plan shown, as the JSON of the commands.
  window.evenfall = Object.fromEntries(['timeline', 'adjust'].map((name) => [name, async () => (await begun())(name)]));

  (async () => {
    document.querySelector('.answer').after(part);
    try {
      const { changes = [], readings = [] } = JSON.parse(localStorage.getItem(part.dataset.key) || '{}');
      state = { changes: new Map(changes), readings };
    } catch (error) { /* then all is as printed */ }
    try {
      let response = await plan();
      if (response.faults) {
        state = nothing;
        response = await plan();
      }
      await show(response);
      performance.mark('planned');
    } catch (error) {
      byId('unplanned').hidden = false;
    }
  })();
})();
