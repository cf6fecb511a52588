;;; springline-mode.el --- Case plans in orthodontics -*- lexical-binding: t -*-

;; Version: 0.1.0
;; Package-Requires: ((emacs "28.1"))

;;; Commentary:

;; Colours, comments and indentation of .spring files, and the language server through eglot.

;;; Code:

(require 'springline-words)

(defgroup springline nil
  "Case plans in orthodontics."
  :group 'languages)

(defcustom springline-server '("springline" "lsp")
  "The command that starts the language server."
  :type '(repeat string))

(defvar springline-mode-syntax-table
  (let ((table (make-syntax-table)))
    (modify-syntax-entry ?/ ". 12" table)
    (modify-syntax-entry ?\n ">" table)
    (modify-syntax-entry ?- "w" table)
    (modify-syntax-entry ?\" "\"" table)
    table)
  "Words have hyphens; // begins a comment.")

(defvar springline-font-lock-keywords
  `((,(concat "^[ \t]*" (regexp-opt springline-statements 'words)) 1 font-lock-keyword-face)
    (,(regexp-opt springline-words 'words) . font-lock-builtin-face)
    ("\\b[0-9]+\\(?:\\.[0-9]+\\)?\\b" . font-lock-constant-face)
    ("#[0-9A-Za-z]+" . font-lock-constant-face)
    (,(concat "[0-9][ \t]*" (regexp-opt springline-units t) "\\>") 1 font-lock-type-face))
  "Statements, other words, numbers, teeth, units.")

(defun springline-indent-line ()
  "Two blanks for each open brace."
  (interactive)
  (let* ((depth (save-excursion
                  (beginning-of-line)
                  (skip-chars-forward " \t")
                  (- (car (syntax-ppss)) (if (eq (char-after) ?}) 1 0))))
         (column (* 2 (max 0 depth))))
    (if (<= (current-column) (current-indentation))
        (indent-line-to column)
      (save-excursion (indent-line-to column)))))

;;;###autoload
(define-derived-mode springline-mode prog-mode "Springline"
  "A case plan."
  (setq-local comment-start "// ")
  (setq-local comment-start-skip "//+[ \t]*")
  (setq-local indent-tabs-mode nil)
  (setq-local indent-line-function #'springline-indent-line)
  (setq-local font-lock-defaults '(springline-font-lock-keywords)))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.spring\\'" . springline-mode))

(with-eval-after-load 'eglot
  (add-to-list 'eglot-server-programs (cons 'springline-mode springline-server)))

(provide 'springline-mode)
;;; springline-mode.el ends here
