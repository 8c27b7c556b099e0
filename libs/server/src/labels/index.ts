export { type LabelFile, LabelsService } from './labels.service.js';
