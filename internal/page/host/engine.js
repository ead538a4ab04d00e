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

  // unpacked turns text into so many bytes: eleven digits of base 94 for nine
  // bytes, the printable characters of ASCII without the one that tags begin with.
  function unpacked({ text, size }) {
    const bytes = new Uint8Array(Math.ceil(size / 9) * 9);
    for (let from = 0, to = 0; from < text.length; from += 11) {
      let high = 0, middle = 0, low = 0; // 24 bits each
      for (let i = from; i < from + 11; i++) {
        const code = text.charCodeAt(i);
        low = low * 94 + code - (code > 60 ? 33 : 32);
        middle = middle * 94 + (low >>> 24);
        high = high * 94 + (middle >>> 24);
        low &= 0xffffff;
        middle &= 0xffffff;
      }
      for (const part of [high, middle, low]) {
        for (let shift = 16; shift >= 0; shift -= 8) bytes[to++] = part >>> shift;
      }
    }
    return bytes.subarray(0, size);
  }

  async function start(packed) {
    const inflated = new Blob([unpacked(packed)]).stream().pipeThrough(new DecompressionStream('gzip'));
    const made = await WebAssembly.instantiate(await new Response(inflated).arrayBuffer(), imports);
    const own = made.instance.exports;
    memory = own.memory;
    own._initialize();
    call = (name, argument) => {
      if (name === 'plan') {
        const request = new TextEncoder().encode(argument);
        const at = own.input(request.length); // first, for memory that grows is another
        new Uint8Array(memory.buffer, at, request.length).set(request);
        argument = undefined;
      }
      const size = argument === undefined ? own[name]() : own[name](BigInt(argument));
      const at = own.output();
      return new TextDecoder().decode(new Uint8Array(memory.buffer, at, size));
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
