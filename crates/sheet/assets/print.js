// The print button of the card.
document.addEventListener('click', (event) => { if (event.target.closest('[data-print]')) print(); });
