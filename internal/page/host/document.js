// element makes an element with attributes and children; text is never markup.
function element(name, attributes, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes || {})) {
    if (value !== '' && value != null) made.setAttribute(key, value);
  }
  made.append(...children.flat());
  return made;
}

function drawn(svg) {
  const parsed = new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement;
  return parsed.localName === 'svg' ? [document.importNode(parsed, true)] : [];
}

// toned is text as it stands in a page: a tone is set off by sign and word.
function toned(cell) {
  if (!cell.tone) return cell.text;
  const sign = cell.sign ? [element('span', { 'aria-hidden': 'true' }, cell.sign),
    element('span', { class: 'unseen' }, cell.word), ' '] : [];
  return element('span', { class: cell.tone }, sign, cell.text);
}

function broken(parts) { return parts.flatMap((part, i) => (i ? [element('br'), part] : [part])); }

function classes(column) { return [column.right && 'right', column.minor && 'minor'].filter(Boolean).join(' '); }

function cells(row, columns) {
  if (row.across) return [element('th', { scope: 'rowgroup', colspan: columns.length }, row.across)];
  return row.cells.map((cell, i) => {
    const below = cell.below ? [element('br'), element('small', {}, broken(cell.below.map(toned)))] : [];
    const inside = [toned(cell), ...below];
    return i ? element('td', { class: classes(columns[i]) }, inside) : element('th', { scope: 'row' }, inside);
  });
}

function table(b, caption) {
  return element('table', {}, element('caption', { class: 'unseen' }, caption),
    element('thead', {}, element('tr', {}, b.columns.map((c) => element('th', { scope: 'col', class: classes(c) },
      c.title, c.unit ? [element('br'), element('small', {}, c.unit)] : [])))),
    element('tbody', {}, (b.rows || []).map((row) => element('tr', { 'data-at': row.at }, cells(row, b.columns)))));
}

// shown is a block as an element; headings begin sections and are not among them.
function shown(b, caption) {
  switch (b.kind) {
    case 'facts': return element('dl', {}, b.facts.map((f) =>
      element('div', {}, element('dt', {}, f.label), element('dd', {}, toned(f)))));
    case 'heading': return element('h3', {}, b.text);
    case 'paragraph': return element('p', { class: b.strong && 'strong' || '' }, toned(b));
    case 'note': return element('p', { class: 'note' }, toned(b));
    case 'list': return element(b.ordered ? 'ol' : 'ul', {}, b.items.map((item) => element('li', {}, item)));
    case 'table': return table(b, caption);
    case 'picture': return element('figure', {}, drawn(b.svg),
      element('figcaption', { 'aria-hidden': 'true' }, b.text));
    case 'code': return element('pre', {}, element('code', {}, b.text));
    case 'fold': return element('details', {}, element('summary', {}, toned(b)),
      (b.blocks || []).map((inner) => shown(inner, b.text)));
  }
  return '';
}

// sections are the parts of a document: a section for each of its headings.
function sections(title, blocks) {
  const list = [element('section', { class: 'answer' })];
  let caption = title;
  for (const b of blocks) {
    if (b.kind === 'heading') caption = b.text;
    if (b.kind === 'heading' && !b.level) {
      const id = 'h' + list.length;
      list.push(element('section', { id: b.name, 'aria-labelledby': id }, element('h2', { id }, b.text)));
    } else {
      list[list.length - 1].append(shown(b, caption));
    }
  }
  return list;
}
