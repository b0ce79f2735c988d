"""A real Slurm on this machine, started and stopped here: all its files lie in one folder."""

import contextlib
import os
import shutil
import signal
import socket
import subprocess
import time
from pathlib import Path

PROGRAMS = ("munged", "slurmctld", "slurmd", "sbatch", "scontrol", "scancel", "squeue")
PLACES = os.pathsep.join([os.environ.get("PATH", os.defpath), "/usr/sbin", "/sbin"])
STARTING = 150.0  # seconds
SETTINGS = """\
ClusterName=here
SlurmctldHost=localhost(127.0.0.1)
SlurmctldPort={controller}
SlurmdPort={daemon}
CommunicationParameters=NoInAddrAny,NoCtldInAddrAny
AuthType=auth/munge
AuthInfo=socket={home}/munge.socket
CredType=cred/munge
SlurmUser=root
SlurmdUser=root
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
JobAcctGatherType=jobacct_gather/none
AccountingStorageType=accounting_storage/none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core_Memory
SchedulerParameters=sched_interval=1,batch_sched_delay=0,sched_min_interval=0
ReturnToService=2
MinJobAge=7200
KillWait=2
MpiDefault=none
SlurmctldPidFile={home}/slurmctld.pid
SlurmdPidFile={home}/slurmd.pid
SlurmctldLogFile={home}/slurmctld.log
SlurmdLogFile={home}/slurmd.log
StateSaveLocation={home}/state
SlurmdSpoolDir={home}/spool
NodeName=localhost NodeAddr=127.0.0.1 CPUs={cores} RealMemory={megabytes} State=UNKNOWN
PartitionName=all Nodes=ALL Default=YES MaxTime=INFINITE State=UP
"""


def why_not():
    """Return why there can be no Slurm here, or nothing."""
    missing = [name for name in PROGRAMS if program(name) is None]
    if missing:
        return f"no Slurm: {', '.join(missing)} missing (Debian: slurm-wlm and munge)"
    return "Slurm's daemons are started as root only" if os.geteuid() else ""


def program(name):
    """Return the path of one of Slurm's programs, or None."""
    return shutil.which(name, path=PLACES)


def free_port():
    """Return a port that nobody listens at."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return one.getsockname()[1]


@contextlib.contextmanager
def slurm(home, cores=2, megabytes=4000):
    """
    Run Slurm with one node; yield the variables of who submits to it.

    Parameters
    ----------
    home : Path
        A folder for all its files; as short as a socket's path has to be.
    cores, megabytes : int
        Of the node.
    """
    home.mkdir(mode=0o755, parents=True, exist_ok=True)
    for name in ("state", "spool"):
        (home / name).mkdir(exist_ok=True)
    settings = home / "slurm.conf"
    settings.write_text(
        SETTINGS.format(
            home=home,
            controller=free_port(),
            daemon=free_port(),
            cores=cores,
            megabytes=megabytes,
        ),
        encoding="utf-8",
    )
    variables = {**os.environ, "SLURM_CONF": str(settings), "PATH": PLACES}
    started = []
    try:
        for command in commands(home, settings):
            log = open(home / f"{Path(command[0]).name}.out", "wb")  # noqa: SIM115 (the daemon's)
            with log:
                started.append(
                    subprocess.Popen(
                        command,
                        stdin=subprocess.DEVNULL,
                        stdout=log,
                        stderr=subprocess.STDOUT,
                        env=variables,
                        start_new_session=True,
                    )
                )
            if "munged" in command[0]:
                until(lambda: (home / "munge.socket").exists(), "munged")
        until(lambda: is_idle(variables), "slurmd")
        yield variables
    finally:
        end_jobs(variables)
        for each in reversed(started):
            stop(each)


def commands(home, settings):
    """Return the daemons' commands, each in the foreground and thus our own child."""
    key = home / "munge.key"
    key.write_bytes(os.urandom(128))
    key.chmod(0o600)
    munged = [program("munged"), "--foreground", "--force", f"--key-file={key}"]
    munged += [f"--socket={home}/munge.socket", f"--pid-file={home}/munged.pid"]
    munged += [f"--log-file={home}/munged.log", f"--seed-file={home}/munge.seed"]
    controller = [program("slurmctld"), "-D", "-c", "-f", str(settings)]
    return munged, controller, [program("slurmd"), "-D", "-N", "localhost", "-f", str(settings)]


def is_idle(variables):
    """Tell whether the node takes jobs."""
    asked = subprocess.run(
        ["sinfo", "--noheader", "--format=%T"], env=variables, capture_output=True, text=True
    )
    return asked.stdout.strip() == "idle"


def until(holds, what):
    """Wait until something holds."""
    began = time.monotonic()
    while not holds():
        if time.monotonic() - began > STARTING:
            raise TimeoutError(f"{what} does not start")
        time.sleep(0.1)


def end_jobs(variables):
    """End what a test that failed has left: it would outlive the daemons."""
    for number in jobs(variables):
        kill = ["scancel", "--signal=KILL", "--full", number]
        subprocess.run(kill, env=variables, capture_output=True)


def stop(process):
    """End a daemon, and what it started if it does not end."""
    process.send_signal(signal.SIGTERM)
    try:
        process.wait(60)
    except subprocess.TimeoutExpired:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()


def jobs(variables):
    """Return the numbers of the jobs that wait or run."""
    asked = subprocess.run(
        ["squeue", "--noheader", "--format=%i"], env=variables, capture_output=True, text=True
    )
    return asked.stdout.split()


def job_states(variables):
    """Return number, name, state and megabytes of every job that Slurm still knows, in order."""
    asked = subprocess.run(
        ["scontrol", "show", "job", "--oneliner"], env=variables, capture_output=True, text=True
    )
    told = [
        dict(word.partition("=")[::2] for word in line.split())
        for line in asked.stdout.splitlines()
        if line.startswith("JobId=")
    ]
    return [
        (each["JobId"], each["JobName"], each["JobState"], megabytes_of(each["MinMemoryNode"]))
        for each in sorted(told, key=lambda each: int(each["JobId"]))
    ]


def megabytes_of(text):
    """Return what Slurm says of memory, such as 500M or 1G."""
    return round(float(text[:-1]) * {"M": 1, "G": 1024}[text[-1]])
