"""Starts the process of a page so that work behind one page yields to a pick on another; nothing of what it does."""

import os
import sys
import uuid
from pathlib import Path
from subprocess import DEVNULL, Popen
from typing import Any

from jupyter_client.provisioning.local_provisioner import LocalProvisioner
from jupyter_server.services.kernels.kernelmanager import ServerKernelManager


class Beside(LocalProvisioner):
    """A process in the session of its server, and in a group of its own for signals.

    Linux shares the processor among sessions first, and by rank only within each. In a session of its own, as
    is usual for a kernel, work behind a page would take as much as a pick that someone waits for.
    """

    async def launch_kernel(self, cmd: list[str], **kwargs: Any) -> Any:
        """Start the process; where systems have no sessions, as others do."""
        if sys.platform == "win32":
            return await super().launch_kernel(cmd, **kwargs)
        options = self._scrub_kwargs(kwargs)
        # the process ends by itself when the one of this number is gone
        environment = {**options.pop("env", os.environ), "JPY_PARENT_PID": str(os.getpid())}
        process = Popen(cmd, stdin=DEVNULL, env=environment, process_group=0, **options)  # noqa: S603 - our own kernel
        self.process, self.pid, self.pgid = process, process.pid, process.pid
        self.cwd = kwargs.get("cwd", Path.cwd())
        return self.connection_info


class PageProcess(ServerKernelManager):
    """Keeper of one page's process."""

    async def _async_pre_start_kernel(self, **kwargs: Any) -> Any:
        if self.provisioner is None:
            self.kernel_id = self.kernel_id or kwargs.pop("kernel_id", str(uuid.uuid4()))
            self.provisioner = Beside(
                kernel_id=self.kernel_id, kernel_spec=self.kernel_spec, parent=self
            )
        return await super()._async_pre_start_kernel(**kwargs)
