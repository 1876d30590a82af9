"use strict";
// Runs before the program: shows in words how much has arrived, starts the
// program, and says so when it does not come or has stopped. The build puts
// one line before this file:
//   const site = {version, base, files: {name: address}, wasmBytes};

const goEnvironment = {
  GOAPP_ROOT_PREFIX: site.base,
  GOAPP_STATIC_RESOURCES_URL: site.base,
  GOAPP_VERSION: site.version,
  STAMPMILL_VERSION: site.version,
};

// go-app reads its settings through this name.
window.goappGetenv = (key) => goEnvironment[key];

// The address of a file of the site, for what is loaded later.
window.stampmillFile = (name) => site.base + site.files[name];

// Where the browser keeps nothing for this page, the mere look at its store
// throws, and that would end the program. A store that is empty and takes
// nothing stands in for it; the program says so when it has something to keep.
const emptyStore = {
  length: 0,
  key: () => null,
  getItem: () => null,
  setItem() { throw new DOMException("the browser keeps nothing for this page", "QuotaExceededError"); },
  removeItem() {},
  clear() {},
};
for (const name of ["localStorage", "sessionStorage"]) {
  try {
    window[name].getItem("");
  } catch {
    Object.defineProperty(window, name, { value: emptyStore });
  }
}

const mega = (bytes) => (bytes / 1e6).toFixed(1);

function showProgress(bytes) {
  const words = document.getElementById("loading-words");
  const bar = document.getElementById("loading-bar");
  if (!words || !bar) return;
  words.textContent = `Loading the program, ${mega(bytes)} of ${mega(site.wasmBytes)} MB.`;
  bar.value = bytes / site.wasmBytes;
}

// A plain notice with one button: in the loading page while that stands, and
// otherwise beside what the program has put up.
function showFailure(fact, mend) {
  const loading = document.getElementById("loading");
  document.getElementById("loading-words")?.remove();
  document.getElementById("loading-bar")?.remove();
  const box = document.createElement("div");
  box.id = "failure";
  box.className = loading ? "" : "notice";
  box.setAttribute("role", "alert");
  const words = document.createElement("p");
  const bold = document.createElement("strong");
  bold.textContent = fact;
  words.append(bold, " " + mend);
  const button = document.createElement("button");
  button.type = "button";
  button.className = "primary";
  button.textContent = "Try again";
  button.addEventListener("click", () => location.reload());
  box.append(words, button);
  (loading ?? document.body).append(box);
  button.focus();
}

// The body with its bytes counted, under the type a streaming compiler wants:
// some hosts serve .wasm as something else.
function counted(response) {
  let bytes = 0;
  const count = new TransformStream({
    transform(chunk, out) {
      bytes += chunk.byteLength;
      showProgress(bytes);
      out.enqueue(chunk);
    },
    flush() {
      if (bytes !== site.wasmBytes) throw new Error(`app.wasm has ${bytes} bytes, expected ${site.wasmBytes}`);
    },
  });
  return new Response(response.body.pipeThrough(count), { headers: { "Content-Type": "application/wasm" } });
}

async function fetchProgram(imports) {
  const response = await fetch(window.stampmillFile("app.wasm"));
  if (!response.ok) throw new Error(`app.wasm: status ${response.status}`);
  return (await WebAssembly.instantiateStreaming(counted(response), imports)).instance;
}

async function run() {
  if (!("WebAssembly" in window) || !("Go" in window)) {
    showFailure("This browser did not start the program.", "Update the browser, or try another one.");
    return;
  }
  const go = new Go();
  let program;
  try {
    program = await fetchProgram(go.importObject);
  } catch (problem) {
    console.warn("The program did not arrive:", problem.message);
    showFailure("The program did not arrive.", "Check the connection, then try again.");
    return;
  }
  // main returns only by a fault; what the browser throws ends it as well.
  go.run(program).catch((problem) => console.error(problem)).then(() =>
    showFailure("The program stopped.", "What was stored is safe. Load the page again to go on."));
}

// A new version is stored beside the one in use and is taken at the next load.
async function keepForOffline() {
  if (!("serviceWorker" in navigator)) return;
  const hadWorker = navigator.serviceWorker.controller !== null;
  try {
    const registration = await navigator.serviceWorker.register(site.base + "worker.js", { scope: site.base });
    registration.addEventListener("updatefound", () => {
      const worker = registration.installing;
      worker?.addEventListener("statechange", () => {
        if (hadWorker && worker.state === "activated") window.goappOnUpdate?.();
      });
    });
    window.goappTryUpdate = () => registration.update();
  } catch (problem) {
    console.warn("The site could not be kept for offline use:", problem.message);
  }
}

// The program knows a page by its path with a slash at the end; hosts also give
// it as "/practise" or "/practise/index.html".
const path = location.pathname.replace(/index\.html$/, "").replace(/\/?$/, "/");
if (path !== location.pathname) history.replaceState(null, "", path + location.search + location.hash);

document.getElementById("loading-again")?.remove();
run().finally(keepForOffline);
