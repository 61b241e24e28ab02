// Numbers out of the page: the facts as they are, the packed arrays inflated once.

const facts = JSON.parse(document.getElementById("facts").textContent);

async function unpack() {
  const text = atob(document.getElementById("packed").textContent.trim());
  const deflated = Uint8Array.from(text, (letter) => letter.charCodeAt(0));
  const stream = new Blob([deflated]).stream().pipeThrough(new DecompressionStream("deflate"));
  return new Response(stream).arrayBuffer();
}

const ARRAYS = { Float32Array, Int32Array, Uint16Array, Int16Array };

/** The array that `place` names, as its own copy. */
function arrayAt(buffer, place) {
  return new ARRAYS[place.type](buffer, place.at, place.count).slice();
}
