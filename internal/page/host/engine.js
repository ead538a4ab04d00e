'use strict';

// engine runs the engine: it takes calls and posts what comes of them. It is
// whole in itself, so that its text can be run in a worker.
function engine(scope) {
  let memory, call, said = '';
  const view = () => new DataView(memory.buffer);
  // What the engine asks of a system: a clock to schedule by and random numbers
  // for its maps. It has no files, no arguments, no environment.
  const none = (count, size) => { view().setUint32(count, 0, true); view().setUint32(size, 0, true); return 0; };
  const system = {
    clock_time_get(id, precision, to) {
      view().setBigUint64(to, BigInt(Math.round(performance.now() * 1e6)), true);
      return 0;
    },
    random_get(to, size) { crypto.getRandomValues(new Uint8Array(memory.buffer, to, size)); return 0; },
    args_sizes_get: none, environ_sizes_get: none,
    args_get: () => 0, environ_get: () => 0, sched_yield: () => 0,
    // A pause ends at once, with nothing to report: it only lets others run.
    poll_oneoff(of, events, count, to) { view().setUint32(to, 0, true); return 0; },
    fd_write(file, parts, count, to) { // what it says when it fails
      let size = 0;
      for (let i = 0; i < count; i++) {
        const at = view().getUint32(parts + 8 * i, true), length = view().getUint32(parts + 8 * i + 4, true);
        said = (said + new TextDecoder().decode(new Uint8Array(memory.buffer, at, length))).slice(0, 2000);
        size += length;
      }
      view().setUint32(to, size, true);
      return 0;
    },
    proc_exit(code) { throw new Error('exit ' + code + ': ' + said); },
  };
  const badFile = () => 8;
  const imports = { wasi_snapshot_preview1: new Proxy(system, { get: (own, name) => own[name] || badFile }) };

  // unpacked turns text of base 85 into bytes: five characters for four, a last
  // group of fewer for as many less one, z for four of nought.
  function unpacked(text) {
    const bytes = new Uint8Array(Math.ceil(text.length / 5) * 4 + 4 * (text.split('z').length - 1));
    let size = 0, group = 0, value = 0;
    const put = (n) => { for (let i = 0; i < n; i++) bytes[size++] = value >>> (24 - 8 * i); };
    for (let i = 0; i < text.length; i++) {
      let digit = text.charCodeAt(i) - 33;
      if (digit === 89) { value = 0; put(4); continue; } // z
      if (digit === 85) digit = 27; // v stands for <
      value = value * 85 + digit;
      if (++group === 5) { put(4); group = value = 0; }
    }
    if (group > 0) {
      const last = group - 1;
      for (; group < 5; group++) value = value * 85 + 84;
      put(last);
    }
    return bytes.subarray(0, size);
  }

  async function start(text) {
    const inflated = new Blob([unpacked(text)]).stream().pipeThrough(new DecompressionStream('gzip'));
    const made = await WebAssembly.instantiate(await new Response(inflated).arrayBuffer(), imports);
    const own = made.instance.exports;
    memory = own.memory;
    own._initialize();
    call = (name, argument) => {
      if (name === 'plan') {
        const request = new TextEncoder().encode(argument);
        new Uint8Array(memory.buffer, own.input(request.length), request.length).set(request);
        argument = undefined;
      }
      const size = argument === undefined ? own[name]() : own[name](BigInt(argument));
      return new TextDecoder().decode(new Uint8Array(memory.buffer, own.output(), size));
    };
    return '';
  }

  scope.onmessage = async ({ data }) => {
    try {
      const text = data.name === 'start' ? await start(data.argument) : call(data.name, data.argument);
      scope.postMessage({ id: data.id, text });
    } catch (error) {
      scope.postMessage({ id: data.id, error: error + ' ' + said });
    }
  };
}

// connected returns a function that calls the engine by name: in a worker, or
// where there may be none in the page itself.
function connected() {
  const waiting = new Map();
  let ids = 0, send;
  const answer = ({ data }) => {
    const { resolve, reject } = waiting.get(data.id);
    waiting.delete(data.id);
    if (data.error) reject(new Error(data.error)); else resolve(data.text);
  };
  try {
    const worker = new Worker(URL.createObjectURL(new Blob(['(' + engine + ')(self)'], { type: 'text/javascript' })));
    worker.onmessage = answer;
    worker.onerror = () => { for (const { reject } of waiting.values()) reject(new Error('no worker')); };
    send = (message) => worker.postMessage(message);
  } catch (error) {
    const here = { postMessage: (data) => answer({ data }) };
    engine(here);
    send = (data) => setTimeout(() => here.onmessage({ data }), 0);
  }
  return (name, argument) => new Promise((resolve, reject) => {
    waiting.set(++ids, { resolve, reject });
    send({ id: ids, name, argument });
  });
}
