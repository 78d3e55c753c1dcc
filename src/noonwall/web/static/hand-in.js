// Hands files to this machine's own server, one after the other, and tells the page how far each is.
(() => {
  const most = 120e6;
  const tell = (what) => window.emitEvent("nw-file", what);
  const one = (file) => new Promise((done) => {
    const mark = crypto.getRandomValues(new Uint32Array(2)).join("");
    tell({ mark, name: file.name, size: file.size, state: "begun" });
    if (file.size > most) {
      tell({ mark, state: "refused", why: `${file.name}: larger than 120 MB; split it, or pack it as .gz` });
      return done();
    }
    const request = new XMLHttpRequest();
    let last = 0;
    request.open("POST", "/readings/file?name=" + encodeURIComponent(file.name));
    request.setRequestHeader("X-Noonwall", "readings");
    request.upload.onprogress = (e) => {
      if (e.lengthComputable && Date.now() - last > 200) {
        last = Date.now();
        tell({ mark, state: "coming", share: e.loaded / e.total });
      }
    };
    request.onload = () => {
      let said = {};
      try { said = JSON.parse(request.responseText); } catch (_) { /* told below */ }
      if (request.status === 200 && said.token) tell({ mark, state: "here", token: said.token });
      else tell({ mark, state: "refused", why: said.refused || `${file.name}: was not taken` });
      done();
    };
    request.onerror = () => { tell({ mark, state: "refused", why: `${file.name}: the connection broke` }); done(); };
    request.send(file);
  });
  window.nwHandIn = async (files) => { for (const file of [...files]) await one(file); };
})();
