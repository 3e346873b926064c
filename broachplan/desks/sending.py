"""Which desk's function does what a request asks, found by the request's name and loaded when it is first needed."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

from broachplan.store.patience import at_a_screen

_ATTENDANT, _MACHINIST = "broachplan.desks.attendant", "broachplan.desks.machinist"
_RUNS = f"{_MACHINIST}.runs"
_BUYER = "broachplan.desks.buyer"
# What changes the crib: whatever shows it looks again.
CHANGES: dict[str, str] = {
    "AddRequest": f"{_ATTENDANT}.add_piece:add_piece",
    "BookRequest": f"{_ATTENDANT}.book_cuts:book",
    "CountRequest": f"{_ATTENDANT}.count_drawer:count_drawer",
    "EditRequest": f"{_ATTENDANT}.edit_piece:edit_piece",
    "FoundRequest": f"{_ATTENDANT}.found_piece:note_found",
    "HoldRequest": f"{_ATTENDANT}.hold_piece:hold",
    "ImportRequest": f"{_ATTENDANT}.import_crib:import_crib",
    "InspectRequest": f"{_ATTENDANT}.inspect_piece:inspect",
    "JobAddRequest": f"{_BUYER}.add_job:add_job",
    "JobDropRequest": f"{_BUYER}.close_job:drop_job",
    "JobEditRequest": f"{_BUYER}.edit_job:edit_job",
    "JobFinishRequest": f"{_BUYER}.close_job:finish_job",
    "JobImportRequest": f"{_BUYER}.import_jobs:import_jobs",
    "JobDrawingRequest": f"{_BUYER}.draw_pieces:draw_pieces",
    "JobStartRequest": f"{_BUYER}.start_job:start_job",
    "JoinRequest": f"{_ATTENDANT}.change_set:join",
    "LostRequest": f"{_ATTENDANT}.write_off:lost",
    "BrokenRequest": f"{_ATTENDANT}.write_off:broken",
    "SendRequest": f"{_ATTENDANT}.send_out:send",
    "ReceiveRequest": f"{_ATTENDANT}.send_out:receive",
    "LendRequest": f"{_ATTENDANT}.lend_piece:lend",
    "RegrindRequest": f"{_ATTENDANT}.regrind_piece:regrind_piece",
    "ReleaseRequest": f"{_ATTENDANT}.hold_piece:release",
    "RestoreRequest": f"{_ATTENDANT}.restore_data:restore_data",
    "RetireRequest": f"{_ATTENDANT}.retire_piece:retire",
    "ReturnRequest": f"{_ATTENDANT}.return_piece:take_back",
    "RunAcceptRequest": f"{_RUNS}.trouble:accept_hub",
    "RunAgainRequest": f"{_RUNS}.cutting:push_again",
    "RunAsideRequest": f"{_RUNS}.trouble:set_hub_aside",
    "RunBrokenRequest": f"{_RUNS}.trouble:broach_broken",
    "RunCorrectRequest": f"{_RUNS}.righting:correct",
    "RunEndRequest": f"{_RUNS}.pausing:end_run",
    "RunGoneRequest": f"{_RUNS}.trouble:shim_gone",
    "RunGaugingRequest": f"{_RUNS}.cutting:change_gauging",
    "RunMeasuredRequest": f"{_RUNS}.righting:measure_piece",
    "RunParkRequest": f"{_RUNS}.pausing:park_run",
    "RunPushedRequest": f"{_RUNS}.cutting:push",
    "RunReadRequest": f"{_RUNS}.cutting:read_gauge",
    "RunReplanRequest": f"{_RUNS}.cutting:take_other_plan",
    "RunResumeRequest": f"{_RUNS}.pausing:resume_run",
    "RunScrapRequest": f"{_RUNS}.trouble:scrap_hub",
    "RunStartRequest": f"{_RUNS}.start:start_run",
    "RunStopRequest": f"{_RUNS}.pausing:stop_run",
    "SettingRequest": f"{_ATTENDANT}.shop_settings:change_setting",
    "StepRequest": f"{_ATTENDANT}.first_crib:step",
    "SettleRequest": f"{_ATTENDANT}.settle_count:settle_count",
    "SplitRequest": f"{_ATTENDANT}.change_set:split",
    "UndoRequest": f"{_ATTENDANT}.undo:undo",
    "UpgradeRequest": f"{_ATTENDANT}.upgrade_data:upgrade_data",
}
# What reads the crib, or writes beside it.
READS: dict[str, str] = {
    "ActionsRequest": f"{_ATTENDANT}.list_actions:list_actions",
    "BlanksRequest": f"{_ATTENDANT}.print_blanks:print_blanks",
    "BeginGuideRequest": f"{_ATTENDANT}.first_crib:begin_guide",
    "BackupRequest": f"{_ATTENDANT}.backup_data:backup_data",
    "CanWeRequest": f"{_BUYER}.can_we:can_we",
    "CheckRequest": f"{_ATTENDANT}.check_data:check_data",
    "CountsRequest": f"{_ATTENDANT}.list_counts:list_counts",
    "DraftsRequest": f"{_ATTENDANT}.keep_draft:kept_drafts",
    "DrawerRequest": f"{_ATTENDANT}.count_drawer:drawer_to_count",
    "DueRequest": f"{_ATTENDANT}.list_due:list_due",
    "ExportRequest": f"{_ATTENDANT}.export_crib:export_crib",
    "FindRequest": f"{_ATTENDANT}.find_pieces:find_pieces",
    "HoldsRequest": f"{_ATTENDANT}.hold_piece:list_holds",
    "ImportPreviewRequest": f"{_ATTENDANT}.import_crib:preview_import",
    "JobRequest": f"{_BUYER}.list_jobs:show_job",
    "JobsRequest": f"{_BUYER}.list_jobs:list_jobs",
    "KeepOfferChoiceRequest": f"{_BUYER}.offer_choice:keep_choice",
    "OfferChoiceRequest": f"{_BUYER}.offer_choice:offer_choice",
    "KeepDraftRequest": f"{_ATTENDANT}.keep_draft:keep_draft",
    "KnownRequest": f"{_ATTENDANT}.list_known:list_known",
    "LabelsRequest": f"{_ATTENDANT}.print_labels:print_labels",
    "ListRequest": f"{_ATTENDANT}.list_pieces:list_pieces",
    "LookAgainRequest": f"{_ATTENDANT}.look_again:look_again",
    "MissingRequest": f"{_ATTENDANT}.list_missing:list_missing",
    "OneCountRequest": f"{_ATTENDANT}.list_counts:show_count",
    "OpenRunsRequest": f"{_RUNS}.at_press:open_runs",
    "OutRequest": f"{_ATTENDANT}.list_out:list_out",
    "OutlinesRequest": f"{_ATTENDANT}.print_labels:print_outlines",
    "PlanRequest": f"{_MACHINIST}.plan_hub:plan_hub",
    "PrintSheetRequest": f"{_BUYER}.print_sheet:print_sheet",
    "RunAtPressRequest": f"{_RUNS}.at_press:at_press",
    "RunExportRequest": f"{_RUNS}.exporting:export_runs",
    "RunRequest": f"{_RUNS}.looking:show_run",
    "RunsRequest": f"{_RUNS}.looking:list_runs",
    "SetsRequest": f"{_ATTENDANT}.list_sets:list_sets",
    "SettingsRequest": f"{_ATTENDANT}.shop_settings:show_settings",
    "ShortagesRequest": f"{_BUYER}.shortages:find_shortages",
    "ShowRequest": f"{_ATTENDANT}.show_piece:show_piece",
    "StockRequest": f"{_ATTENDANT}.stock_on:stock_on",
    "TakeOverRequest": f"{_ATTENDANT}.keep_draft:take_over",
    "WhatIfRequest": f"{_BUYER}.what_if:what_if",
    "ToInspectRequest": f"{_ATTENDANT}.list_to_inspect:list_to_inspect",
    "TodayRequest": f"{_ATTENDANT}.clock:today",
}


def desk_for(request: type) -> Callable[..., Any]:
    """The function that takes a database and such a request, and returns a result."""
    name = request.__name__
    module, _, function = (CHANGES.get(name) or READS[name]).partition(":")
    found: Callable[..., Any] = getattr(import_module(module), function)
    return found


def changes_crib(request: object) -> bool:
    """Whether what is asked changes the crib."""
    return type(request).__name__ in CHANGES


def answered_at_a_screen(answer: Callable[..., Any], db: str | None, request: object, **beside: Any) -> Any:
    """The result of a request for somebody who waits at a screen, never for long; ``answer`` is its desk's function."""
    with at_a_screen():
        return answer(db, request, **beside)
