/* exported sha256 */
// SHA-256 (FIPS 180-4) of bytes, in hex: the browser's own is missing on pages without https.
function sha256(bytes) {
  const PRIMES = [];
  for (let n = 2; PRIMES.length < 64; n++) if (PRIMES.every((each) => n % each)) PRIMES.push(n);
  const bits = (root) => Math.floor((root - Math.floor(root)) * 2 ** 32) >>> 0;
  const rounds = PRIMES.map((each) => bits(Math.cbrt(each)));
  const state = PRIMES.slice(0, 8).map((each) => bits(Math.sqrt(each)));
  const turn = (word, by) => (word >>> by) | (word << (32 - by));

  const blocks = Math.ceil((bytes.length + 9) / 64);
  const padded = new Uint8Array(64 * blocks);
  padded.set(bytes);
  padded[bytes.length] = 0x80;
  const view = new DataView(padded.buffer);
  view.setUint32(padded.length - 8, Math.floor(bytes.length / 2 ** 29));
  view.setUint32(padded.length - 4, (bytes.length << 3) >>> 0);

  const words = new Uint32Array(64);
  for (let at = 0; at < padded.length; at += 64) {
    for (let i = 0; i < 16; i++) words[i] = view.getUint32(at + 4 * i);
    for (let i = 16; i < 64; i++) {
      const [near, far] = [words[i - 2], words[i - 15]];
      const low = turn(far, 7) ^ turn(far, 18) ^ (far >>> 3);
      const high = turn(near, 17) ^ turn(near, 19) ^ (near >>> 10);
      words[i] = words[i - 16] + low + words[i - 7] + high;
    }
    let [a, b, c, d, e, f, g, h] = state;
    for (let i = 0; i < 64; i++) {
      const first = h + (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) + ((e & f) ^ (~e & g)) + rounds[i] + words[i];
      const second = (turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + ((a & b) ^ (a & c) ^ (b & c));
      [h, g, f, e, d, c, b, a] = [g, f, e, (d + first) >>> 0, c, b, a, (first + second) >>> 0];
    }
    [a, b, c, d, e, f, g, h].forEach((value, i) => (state[i] = (state[i] + value) >>> 0));
  }
  return state.map((each) => each.toString(16).padStart(8, "0")).join("");
}
