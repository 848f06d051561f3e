import { render } from "preact";
import { App } from "./app.js";
import "./styles/tokens.css";
import "./styles/base.css";
import "./styles/sheet.css";
import { connect } from "./live/connection.js";
import { watchForGaps } from "./live/gap-alarm.js";
import { keepOfflineShell } from "./live/offline-shell.js";
import { applyTheme } from "./theme.js";

applyTheme();
const place = document.getElementById("app");
if (place) render(<App />, place);
watchForGaps();
connect();
keepOfflineShell();
