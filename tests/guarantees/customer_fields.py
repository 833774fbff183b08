"""Which field of which model a customer may see in the history of their parts, decided one by one.

A field that stands in neither list makes a test fail: whoever adds one decides here whether it may leave the shop.
"""

SHOWN = {
    "RegisterCard": "name demo",
    "Customer": "name",
    "Part": "number customer_number description",
    "Receipt": "arrived_on",
    "Revision": "at label reason requested_by",
    "ShapeChange": (
        "verdict resolution_mm max_a_to_b_mm max_b_to_a_mm volume_a_mm3 volume_b_mm3 size_a_mm size_b_mm "
        "same_topology uncertainty_mm cautions"
    ),
    "Requirements": "drawing_compared",
    "RequirementChange": "what characteristic words",
    "Release": "at",
    "Acceptance": "basis accepted_by accepted_on conditions",
    "Withdrawal": "at",
    "StageMove": "at moved_to",
    "Permission": "reference granted_by granted_on words quantity until",
    "Order": "id po po_line",
    "Delivery": "quantity shipped_on",
}
"""Model -> fields that are taken into a view, in one form or another."""

WITHHELD = {
    "RegisterCard": "by at format id",
    "WriterCard": "by at code host",
    "Person": "by at handle name roles keys left_on",
    "PublicKey": "line since until",
    "Customer": "by at code address contacts quality_clauses first_article_approval show_unaccepted_revisions note",
    "Contact": "name email telephone task",
    "Part": "by at customer design_authority label_scheme criticality material control other_numbers note",
    "ExportControl": "status jurisdiction classification classified_by classified_on basis marking",
    "Machine": "by at id name make_and_serial site materials firmware print_preparation boxes retired",
    "Material": (
        "by at id name alloy_family reference_density_g_cm3 reference_density_source sintered_density_g_cm3 "
        "density_gate_fraction unsealed_reading_below_fraction reactive dust_review_recorded contains_nickel "
        "powder binder_powder_goes_back setter_materials witness_needed safety_data_sheet_sha256 "
        "extinguishing note"
    ),
    "PowderLimits": "oxygen_max_ppm carbon_max_ppm moisture_max_percent reuse_max sieve_um",
    "Box": "by at id name size_mm wall_margin_mm fixed_min layer_s",
    "Furnace": (
        "by at id name make_and_serial site max_c hot_zone_mm trays metal_limit_kg binder_limit_kg "
        "atmospheres responsible retired"
    ),
    "Gauge": (
        "by at id name resolution_mm uncertainty_mm calibrated_on calibration_due certificate study "
        "accepts_scans retired"
    ),
    "GaugeStudy": "percent_of_tolerance studied_on note",
    "Rates": (
        "by at currency printer_hour_cents furnace_load_cents labour_hour_cents powder_kg_cents binder_litre_cents"
    ),
    "Policy": (
        "by at proof_lapses_after_days capability_minimum capability_confidence production_measured_minimum "
        "production_lots_minimum production_loads_minimum two_persons_from_production package_valid_days "
        "start_extra_fraction carry note"
    ),
    "CarryLimits": (
        "carries_deviation_mm carries_volume_fraction carries_envelope_mm delta_deviation_mm "
        "delta_volume_fraction delta_envelope_mm"
    ),
    "Receipt": "by at id part label sender covering_note files",
    "KeptFile": "name role sha256 size_bytes ending",
    "Revision": (
        "by id part follows receipt files definition drawing_number drawing_revision model_part_revision unit "
        "unit_basis"
    ),
    "MeasuredRevision": "by at part revision shape",
    "MeasuredShape": (
        "engine file_sha256 format unit unit_basis volume_mm3 area_mm2 low_mm high_mm centre_of_mass_mm "
        "topology tessellation_mm cautions"
    ),
    "Topology": "triangles vertices shells closed winding_consistent euler_number",
    "ChangedRevision": "by at part revision since shape",
    "ShapeChange": "engine a_sha256 b_sha256 mean_a_to_b_mm mean_b_to_a_mm area_a_mm2 area_b_mm2",
    "Requirements": (
        "by at id part revision characteristics material condition heat_treatment finish marking "
        "specifications notes changes_since"
    ),
    "Characteristic": (
        "number name form nominal lower upper unit requirement designator key drawing_zone direction "
        "measured_in feature as_sintered_target gauge"
    ),
    "RequirementChange": "",
    "LabelAnswer": "by at id part label revision answered_by answered_on evidence",
    "Release": "by id part revision note",
    "Acceptance": "by at id part revision reference evidence quantity lots until",
    "Withdrawal": "by id part revision withdraws what reason",
    "Hold": "by at id target reason",
    "HoldTarget": "part revision lot blend load box_run",
    "Lift": "by at id target hold reason",
    "StageMove": "by id part moved_from reason revision proof way evidence",
    "CarryOver": "by at id part proof proven_revision revision computed decided reason signed_by_quality",
    "Concession": "by at id part revision lots permission",
    "Permission": "characteristics evidence",
    "Permit": "by at id part revision settings permission",
    "Settings": (
        "by at id number part made_for derived_from machine material powder_specification "
        "binder_specification printing scale print_orientation sinter_orientation turns_allowed clearance_mm "
        "cure depowdering debind sinter setter near_net operations inspection reason invented_for_demo"
    ),
    "Printing": (
        "layer_um binder binder_of_pore_volume_percent wait_after_jetting_s drying_s drying_c spreader_mm_s "
        "roller_rpm print_preparation firmware"
    ),
    "Scale": "x y z",
    "Orientation": "rows",
    "Cure": "peak_c hold_min atmosphere",
    "Cycle": "name furnace segments",
    "Segment": "ramp_c_per_h target_c hold_min atmosphere flow_l_min",
    "Setter": "material layout pieces_per_setter files",
    "NearNet": (
        "file measured made_from made_from_sha256 holds_machining_stock stock holds_distortion holds_shrinkage_scale"
    ),
    "Stock": "face stock_mm",
    "Operation": "number name kind supplier instruction peak_c hold_min pressure_mpa is_rework times_allowed",
    "Inspect": "characteristics how_many sample plan gauge",
    "Blend": "by at id material parents made_kg virgin_fraction reuse_count returned_from_run sieve_um tests",
    "BlendPart": "blend supplier_lot supplier_certificate kg",
    "PowderTest": "tested_on oxygen_ppm carbon_ppm moisture_percent flow_s_per_50g d10_um d50_um d90_um",
    "BoxRun": "by at id machine box material blend binder started_at operator packages file",
    "BinderLot": "lot expires",
    "BoxRunFinish": "by at id box_run finished_at went_well alarms note",
    "FurnaceLoad": (
        "by at id furnace heat cycle_name material started_at operator placed metal_kg binder_kg pairing_by"
    ),
    "Placed": "lot count tray",
    "LoadFinish": "by at id load finished_at as_run deviations chart witnesses",
    "Witness": "name density_g_cm3 pores carbon_percent oxygen_ppm nitrogen_ppm hardness report",
    "Lot": (
        "by at id part revision settings order package blends box_runs count serials parents production_representative"
    ),
    "LotSplit": "by at id lot children reason",
    "LotMerge": "by at id lot into reason",
    "LotOperation": (
        "by at id lot operation done_on done_by supplier supplier_certificate load count_in count_on scrapped "
        "to_rework held destroyed_in_test missing"
    ),
    "Scrapped": "cause count",
    "LotFinish": "by at id lot finished_on good note",
    "Surplus": "by at id lot count decision where until consent",
    "EquipmentEvent": "by at id machine furnace gauge what effect happened_on characteristics new_material note",
    "Measurement": "by at id lot measured_on measured_by measured_in gauge readings densities source scans",
    "Reading": "characteristic piece value accepted",
    "DensityReading": "piece mass_in_air_g mass_in_water_g water_c pores density_g_cm3",
    "Proof": (
        "by at id part revision settings requirements lots loads measurements first_article "
        "production_representative judged relative_density density_passes open_nonconformances state "
        "customer_approval site machine_firmware print_preparation last_operation_on"
    ),
    "FirstArticle": "extent baseline reason affected",
    "Judged": "characteristic key readings lowest highest mean outside passes why_not",
    "Nonconformance": "by at id part lot count characteristic found_at found_by words evidence",
    "DispositionEntry": "by at id nonconformance decision count concession reinspected made_unusable_by cause action",
    "EscapeNotice": "by at id delivery count words told told_on evidence",
    "Order": (
        "by at customer part revision amendment revision_as_written dash_confirmed_by quantity over_allowed "
        "under_allowed schedule clauses received_on document older_revision_document settings note"
    ),
    "CallOff": "due quantity",
    "Clause": "about words",
    "OrderAmendment": (
        "by at id order revision amendment revision_as_written dash_confirmed_by older_revision_document reason"
    ),
    "ContractReview": (
        "by at id order reviewed_by revision_agrees quote_agrees clauses_accounted_for capacity_agrees open_points"
    ),
    "OrderVoid": "by at id order reason",
    "Delivery": "by at id order lot serials carrier_reference certificate",
    "Return": "by at id delivery quantity defect arrived_on pieces_came_back evidence",
    "Package": (
        "by at id order part revision settings source_commit quantity_to_start quantity_to_deliver "
        "valid_until basis plan findings versions payload zip_sha256 zip_bytes"
    ),
    "BoxPlan": "box method per_box boxes layers box_min green_size_mm grid",
    "Finding": "code severity sentence who next_command",
    "PayloadFile": "path sha256 size_bytes",
    "PackageSuperseded": "by at id package replaced_by reason",
    "PaperRecovered": "by at id package copies by_whom",
    "ExportLog": "by at id part customer authorisation responsible destination view_sha256",
}
"""Model -> fields that stay in the shop."""
