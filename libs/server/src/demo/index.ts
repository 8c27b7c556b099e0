export {
  type DemoKind,
  type DemoOrder,
  demoEmail,
  demoToday,
  loadDemo,
  type ToldDemo,
  tellDemo,
} from './demo.service.js';
