export { GrainStockService } from './grain-stock.service.js';
