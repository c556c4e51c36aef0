// What the page does and says until its widget is there. It is no part of the page itself, as the policy lets no script stand there.

// what lets a visitor in stands in no address line and so in no link
(function () {
  var address = new URL(location.href);
  ["token", "code"].forEach(function (name) { address.searchParams.delete(name); });
  if (address.href !== location.href) history.replaceState(history.state, "", address.href);
})();
// A page whose parts did not all come, as can happen when many open it on a busy machine, opens anew by itself.
(function () {
  var spanish = /[?&]language=es\b/.test(location.search);
  // copies of [starting] in the catalogs of the server
  var words = spanish
    ? ["Calculando la casa. Tarda unos segundos.", "Un momento: la página se está abriendo otra vez.", "La página no se pudo abrir. Cárguela otra vez.", "Ir a las mejoras"]
    : ["Calculating the house. This takes a few seconds.", "One moment: the page is opening again.", "The page could not be opened. Load it again.", "Skip to the fixes"];
  var line = document.getElementById("starting");
  if (spanish) document.documentElement.lang = "es";
  line.textContent = words[0];
  document.querySelector(".skip").textContent = words[3];
  var name = "retrofit-lab opened", LOOK = 500, ASK = 2000, LATE = 45000, MOST = 6;
  // a browser that keeps nothing cannot count, so there the visitor loads it again
  var opened = function () {
    try { return Number(sessionStorage.getItem(name)) || 0; } catch (error) { return MOST; }
  };
  var keep = function (times) {
    try { sessionStorage.setItem(name, times); return true; } catch (error) { return false; }
  };
  var loaded = 0;
  window.addEventListener("load", function () { loaded = performance.now(); });
  // what works the page out may end before it is drawn
  var ended = false;
  var look = setInterval(function () {
    if (!line.isConnected || ended) { clearInterval(look); return; }
    var config = document.getElementById("jupyter-config-data");
    if (document.getElementById("ended") || !loaded || !config) return;
    var told = JSON.parse(config.textContent);
    fetch(told.baseUrl + "api/kernels/" + told.kernelId, { cache: "no-store", redirect: "manual" })
      .then(function (answer) { ended = answer.status === 404; }, function () {});
  }, ASK);
  var broken = function () {
    if (ended || document.getElementById("ended")) return true;
    return Array.prototype.some.call(document.querySelectorAll(".jupyter-widgets"), function (part) {
      return /^Error (displaying widget|creating widget)/.test(part.textContent);
    });
  };
  var watch = setInterval(function () {
    // the page takes this line away when it is drawn
    if (!line.isConnected) { clearInterval(watch); keep("0"); return; }
    if (!loaded || !(broken() || performance.now() > loaded + LATE)) return;
    clearInterval(watch);
    var times = opened() + 1;
    if (times > MOST || !keep(String(times))) { line.textContent = words[2]; keep("0"); return; }
    line.textContent = words[1];
    // not all at once: what they ask of the machine is what was too much for it
    setTimeout(function () { location.reload(); }, 1000 * times * (0.5 + Math.random()));
  }, LOOK);
})();
