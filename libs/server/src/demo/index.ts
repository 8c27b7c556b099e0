export { type DemoKind, type DemoOrder, demoEmail, demoToday, loadDemo } from './demo.service.js';
