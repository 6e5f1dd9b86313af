import { mount } from "svelte";
import App from "./App.svelte";
import { settings } from "./lib/settings.svelte";
import "./styles/tokens.css";
import "./styles/base.css";

settings.show();
const target = document.getElementById("app");
if (!target) throw new Error("the page has no place for the workbench");
mount(App, { target });
